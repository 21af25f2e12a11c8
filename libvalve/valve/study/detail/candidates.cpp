#include <valve/core/detail/infinity.hpp>
#include <valve/core/detail/parallel.hpp>
#include <valve/core/error.hpp>
#include <valve/core/units.hpp>
#include <valve/setup/parameter.hpp>
#include <valve/study/detail/candidates.hpp>
#include <valve/study/detail/set_right.hpp>
#include <valve/study/headline.hpp>
#include <valve/study/reading.hpp>
#include <valve/study/unevenness.hpp>

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <tuple>
#include <utility>

namespace valve::study {

namespace {

/// A sum over lines that were not solved.
const LineError unsolved{0.0, infinity, infinity};

std::string text_at(const setup::Document& document, const std::string& key) {
    const std::optional<setup::Value> value = document.get(key);
    if (!value) return {};
    const std::string unit = setup::bare_unit(key);
    return value->number && !unit.empty() ? told_quantity(*value->number, unit) : value->text;
}

/// Whether a valve of a unit has shims that could bend out of round.
bool has_shims(const setup::Reading& reading) {
    const std::vector<NamedValve> valves = valves_of(reading);
    return std::any_of(valves.begin(), valves.end(),
                       [](const NamedValve& one) { return !one.valve->stack.disc; });
}

/// Whether the shims at the dotted key `shims` are a taper: a small one between larger ones is none.
bool is_taper(const setup::Reading& reading, const std::string& shims) {
    for (const NamedValve& one : valves_of(reading)) {
        if (shims != "valves." + one.name + ".shims") continue;
        const std::vector<stack::Shim>& list = one.valve->stack.shims;
        return std::is_sorted(list.begin(), list.end(), [](const stack::Shim& a, const stack::Shim& b) {
            return a.outer_radius > b.outer_radius;
        });
    }
    return true;
}

/// What a lever sets beside its own key.
std::vector<setup::Difference> set_with(const Lever& lever, const setup::Document& from,
                                        const setup::Document& to) {
    std::vector<setup::Difference> list;
    for (const std::string& key : lever.also)
        if (std::string before = text_at(from, key), after = text_at(to, key); before != after)
            list.push_back({key, std::move(before), std::move(after)});
    return list;
}

} // namespace

/// The search for the number of steps of one lever, by the shortfall that each leaves.
class Candidates::Sizing {
public:
    Sizing(const Candidates& of, const Lever& lever) : m_of(of), m_lever(lever) {}

    /// Infinite where there are no such steps, or the set-up cannot be built or solved. Of one that is worse
    /// than the set-up as it is, at least that.
    double at(int steps) {
        if (steps < m_lever.least || steps > m_lever.most) return infinity;
        const auto found = m_known.find(steps);
        if (found != m_known.end()) return found->second;
        double shortfall = infinity;
        try {
            Trial trial = m_of.trial(m_lever.edited(m_of.m_document, steps));
            shortfall = trial.shortfall;
            m_trials[steps] = std::move(trial);
        } catch (const Error&) { // it cannot be built so
        }
        return m_known.emplace(steps, shortfall).first->second;
    }

    /// The fewest steps that leave nothing, or about the least where all leave something; 0 where none leave
    /// less than there is.
    int best(double as_is) {
        m_known[0] = as_is;
        for (const int direction : {1, -1}) {
            go(direction);
            if (least() == 0.0) break; // the other direction would take it further off
        }
        // What leaves nothing meets the goal, and what leaves a little does not.
        const double enough = least() > 0.0 ? least() + alike * as_is : 0.0;
        int chosen = 0;
        double of_chosen = as_is;
        for (const auto& [steps, shortfall] : m_known)
            if (shortfall <= enough && (of_chosen > enough || std::abs(steps) < std::abs(chosen)))
                std::tie(chosen, of_chosen) = std::pair(steps, shortfall);
        return chosen;
    }

    std::size_t tried() const { return m_known.size() - 1; }

    /// What was solved for so many steps; empty where nothing was.
    Trial trial(int steps) const {
        const auto found = m_trials.find(steps);
        return found == m_trials.end() ? Trial{} : found->second;
    }

private:
    static constexpr double alike = 0.01; // of the whole shortfall, that nobody walks further for

    double least() const {
        double value = infinity;
        for (const auto& [steps, shortfall] : m_known)
            value = std::min(value, shortfall);
        return value;
    }

    /// Doubles the steps until they leave more than before, meet the goal or end; then closes in.
    void go(int direction) {
        const int end = direction > 0 ? m_lever.most : -m_lever.least;
        if (end < 1) return;
        const auto left = [&](int steps) { return at(direction * steps); };
        const double as_is = left(0);
        int before = 0;
        int here = 1;
        // A first step may be too small to show, but for its rounding.
        const bool shows = left(1) != as_is && !(std::abs(left(1) - as_is) <= 1e-6 * as_is);
        if (!shows && end > 1) here = std::min(8, end);
        if (left(here) >= as_is) return;
        while (left(here) > 0.0 && here < end) {
            const int next = std::min(2 * here, end);
            const bool worse = left(next) >= left(here);
            if (worse) {
                close_in(left, before, here, next);
                return;
            }
            before = here;
            here = next;
        }
        if (left(here) == 0.0) fewest_that_meet(left, before, here);
    }

    /// `enough` steps meet the goal, `too_few` do not.
    template <class Left>
    static void fewest_that_meet(const Left& left, int too_few, int enough) {
        while (enough - too_few > 1) {
            const int middle = (too_few + enough) / 2;
            (left(middle) == 0.0 ? enough : too_few) = middle;
        }
    }

    /// The least lies between `low` and `high`, and `middle` leaves less than either.
    template <class Left>
    static void close_in(const Left& left, int low, int middle, int high) {
        while (high - low > 2) {
            const bool above = high - middle > middle - low;
            const int probe = above ? (middle + high) / 2 : (low + middle) / 2;
            if (left(probe) < left(middle)) {
                (above ? low : high) = middle;
                middle = probe;
            } else {
                (above ? high : low) = probe;
            }
            if (left(middle) == 0.0) {
                fewest_that_meet(left, low, middle);
                return;
            }
        }
    }

    const Candidates& m_of;
    const Lever& m_lever;
    std::map<int, double> m_known;
    std::map<int, Trial> m_trials;
};

Candidates::Changed::Changed(const setup::Document& document, const EvaluateOptions& at,
                             damper::LiftCache& lifts)
    : reading(setup::read(document)), evaluation(reading, at, lifts) {}

Candidates::Candidates(const Advice& advice, const setup::Document& document, const AdviseOptions& options,
                       damper::LiftCache& lifts, AsIs& known)
    : m_advice(advice), m_document(document), m_lifts(lifts), m_search_lifts(lifts.as_round()),
      m_asked(advice.goal.requests()), m_search_at(advice.at), m_bends_twice(lifts.follows_bending()),
      m_options(options) {
    const std::vector<RideEvent> events = advice.goal.events();
    for (const FigureRequest& request : headline_requests(parts_of({&advice.reading}), {}, events))
        if (std::find(m_asked.begin(), m_asked.end(), request) == m_asked.end()) m_watched.push_back(request);
    m_bends_twice = m_bends_twice && has_shims(advice.reading);
    Evaluation as_is(advice.reading, advice.at, lifts);
    for (const FigureRequest& request : m_watched)
        m_watched_today.push_back(known.told(as_is, request));
    m_order.resize(m_asked.size());
    std::iota(m_order.begin(), m_order.end(), std::size_t(0));
    const auto cost = [this](std::size_t i) {
        return m_asked[i].event ? m_asked[i].event->event.duration : 0.0;
    };
    std::stable_sort(m_order.begin(), m_order.end(),
                     [&](std::size_t a, std::size_t b) { return cost(a) < cost(b); });
    m_rides_twice = !events.empty() && advice.at.ride_valves != motion::Valves::quasi_static;
    if (m_rides_twice) {
        m_search_at.ride_valves = motion::Valves::quasi_static;
        m_search_at.ride_accuracy = motion::Accuracy::quick;
    }
    Evaluation search(advice.reading, m_search_at, m_search_lifts);
    m_asked_offset = offsets(search, advice.today, known);
    m_watched_offset = offsets(search, m_watched_today, known);
    if (m_bends_twice) doubt_search(as_is, search, known);
}

/// Notes the stacks that bend where the search is far off: where oil that it takes for empty is not, say, its
/// figures stand still whatever the shims, and what they are set right by is no help.
void Candidates::doubt_search(Evaluation& as_is, Evaluation& search, AsIs& known) {
    bool is_far_off = false;
    for (std::size_t i = 0; i < m_asked.size() && !is_far_off; ++i) {
        if (m_asked[i].event || !m_advice.today[i].error.empty())
            continue; // rides are off by their valves too
        const Figure searched = known.searched(search, m_asked[i]);
        const double off =
            number(searched, m_advice.at.top_speed) - number(m_advice.today[i], m_advice.at.top_speed);
        is_far_off = !searched.error.empty() || std::abs(off) > m_advice.targets[i].step;
    }
    if (!is_far_off) return;
    try {
        for (const Unevenness& one : unevenness(as_is.search(), m_lifts))
            m_doubted.push_back("valves." + one.place + ".shims");
    } catch (const SolveError&) { // beyond a lift curve: the figures say so
    }
}

/// What the shape asked for, and moving valves, add to the figures of the search, on the set-up as it is.
std::vector<double> Candidates::offsets(Evaluation& search, const std::vector<Figure>& told,
                                        AsIs& known) const {
    std::vector<double> list(told.size(), 0.0);
    for (std::size_t i = 0; i < told.size(); ++i) {
        const bool is_searched_otherwise = m_bends_twice || (told[i].event && m_rides_twice);
        if (!told[i].value || !is_searched_otherwise) continue;
        list[i] = offset_of(told[i], known.searched(search, told[i].request()));
    }
    return list;
}

Figure Candidates::figure_of(Evaluation& of, const FigureRequest& request, double offset) const {
    return set_right(evaluate(of, request), offset, m_advice.at.top_speed);
}

std::vector<LineError> Candidates::today_errors() const {
    std::vector<LineError> list;
    for (const std::optional<LineError>& error :
         errors_of(m_advice.targets, m_advice.today, m_advice.at.top_speed))
        list.push_back(error.value_or(unsolved));
    return list;
}

double Candidates::shortfall(const std::vector<LineError>& errors) const {
    double sum = 0.0;
    for (const LineError& error : errors)
        sum += std::abs(error.steps);
    return sum;
}

double Candidates::reached(double shortfall) const {
    if (m_advice.met_today()) return shortfall == 0.0 ? 1.0 : 0.0;
    return std::isfinite(m_advice.shortfall) ? 1.0 - shortfall / m_advice.shortfall
           : std::isfinite(shortfall)        ? 1.0
                                             : 0.0;
}

Candidates::Trial Candidates::trial(const setup::Document& document, bool told) const {
    Trial trial;
    trial.changed = std::make_shared<Changed>(document, told ? m_advice.at : m_search_at,
                                              told ? m_lifts : m_search_lifts);
    trial.lines.resize(m_asked.size());
    for (const std::size_t i : m_order) {
        // What is already worse than as it is needs no ride to be so.
        if (m_asked[i].event && trial.shortfall > m_advice.shortfall) break;
        const Figure figure =
            figure_of(trial.changed->evaluation, m_asked[i], told ? 0.0 : m_asked_offset[i]);
        trial.lines[i] = error_of(m_advice.targets[i], figure, m_advice.at.top_speed);
        trial.shortfall += std::abs(trial.lines[i].value_or(unsolved).steps);
    }
    return trial;
}

/// The figures of a suggestion whose steps are known; false where a line of the goal cannot be solved.
bool Candidates::fill(Suggestion& made, Evaluation& of, bool is_search, std::vector<double>* values,
                      bool is_whole) const {
    const double top_speed = m_advice.at.top_speed;
    std::vector<Figure> asked;
    std::vector<Figure> watched;
    try {
        for (std::size_t i = 0; i < m_asked.size(); ++i)
            asked.push_back(figure_of(of, m_asked[i], is_search ? m_asked_offset[i] : 0.0));
        made.lines.clear();
        for (const std::optional<LineError>& error : errors_of(m_advice.targets, asked, top_speed)) {
            if (!error) return false;
            made.lines.push_back(*error);
        }
        // Of what falls short whoever wants one change asks how near it comes, and no more: the rest is
        // looked at of the nearest alone.
        if (m_options.is_for_one && !is_whole && !made.meets()) {
            made.reached = reached(shortfall(made.lines));
            made.worth = std::max(0.0, made.reached);
            return true;
        }
        for (std::size_t i = 0; i < m_watched.size(); ++i)
            watched.push_back(figure_of(of, m_watched[i], is_search ? m_watched_offset[i] : 0.0));
    } catch (const Error&) { // it cannot be built so
        return false;
    }
    SideEffect effect = side_effect(m_watched_today, watched, m_asked, top_speed);
    made.reached = reached(shortfall(made.lines));
    made.side_effect = effect.steps;
    made.worth = made.reached / std::max(1.0, made.side_effect);
    made.moves = std::move(effect.moves);
    made.unsolved = std::move(effect.unsolved);
    if (values != nullptr) {
        for (const Figure& figure : asked)
            values->push_back(number(figure, top_speed));
        for (std::size_t i = 0; i < watched.size(); ++i) // of what is not solved nothing can be foretold
            values->push_back(number(watched[i].error.empty() ? watched[i] : m_watched_today[i], top_speed));
    }
    return true;
}

std::optional<Suggestion> Candidates::judged(const Steps& steps, std::vector<double>* values,
                                             const std::shared_ptr<Changed>& changed, bool told) const {
    Suggestion made;
    setup::Document document = m_document;
    std::shared_ptr<Changed> with = changed;
    try {
        for (const auto& [lever, count] : steps)
            document = lever->edited(document, count);
        if (!with)
            with = std::make_shared<Changed>(document, told ? m_advice.at : m_search_at,
                                             told ? m_lifts : m_search_lifts);
    } catch (const Error&) { // it cannot be built so
        return std::nullopt;
    }
    if (!fill(made, with->evaluation, !told, values)) return std::nullopt;
    for (const auto& [lever, count] : steps) {
        const bool is_last =
            lever->most - lever->least > 1 && count == (count > 0 ? lever->most : lever->least);
        made.steps.push_back({lever->key, lever->effort, count, text_at(m_document, lever->key),
                              text_at(document, lever->key), lever->shim,
                              set_with(*lever, m_document, document), is_last});
        made.effort = std::max(made.effort, lever->effort);
    }
    made.document = std::move(document);
    return made;
}

bool Candidates::complete(Suggestion& made) const {
    Changed changed(made.document.value(), m_advice.at, m_lifts);
    return fill(made, changed.evaluation, false, nullptr, true);
}

std::optional<Suggestion> Candidates::beside(const setup::Document& other) const {
    Suggestion made;
    Changed changed(other, m_advice.at, m_lifts);
    if (!fill(made, changed.evaluation, false)) return std::nullopt;
    return made;
}

std::vector<double> Candidates::today_values() const {
    std::vector<double> values;
    for (const std::vector<Figure>* list : {&m_advice.today, &m_watched_today})
        for (const Figure& figure : *list)
            values.push_back(number(figure, m_advice.at.top_speed));
    return values;
}

/// Whether it is told what the lever does even where round stacks show nothing: whoever wants one change
/// wants the best as shims bend, and there are few of these.
bool Candidates::may_help_bent(const Lever& lever) const {
    return is_doubted(lever) || (m_options.is_for_one && m_bends_twice && lever.shim);
}

bool Candidates::is_doubted(const Lever& lever) const {
    using setup::ShimChange;
    return lever.shim &&
           (lever.shim->change == ShimChange::more || lever.shim->change == ShimChange::fewer) &&
           std::find(m_doubted.begin(), m_doubted.end(), lever.key) != m_doubted.end();
}

std::vector<Suggestion> Candidates::doubted(const std::vector<Candidate>& singles) const {
    std::vector<Suggestion> list;
    for (const Candidate& one : singles)
        if (one.best && one.best->reached < least_reached && is_doubted(one.lever)) list.push_back(*one.best);
    return list;
}

void Candidates::note_way(Candidate& candidate, const std::vector<std::optional<LineError>>& lines) const {
    for (std::size_t i = 0; i < lines.size(); ++i) {
        const LineError& today = m_advice.errors[i];
        if (today.met() || !lines[i]) continue;
        const double missed = std::abs(today.steps);
        if (!std::isfinite(missed)) { // solved now
            candidate.nearer = candidate.further = 1.0;
            return;
        }
        const double move = (lines[i]->value - today.value) / m_advice.targets[i].step;
        const double right = today.distance > 0.0 ? -move : move;
        (right > 0.0 ? candidate.nearer : candidate.further) +=
            std::min(std::abs(right), missed) / m_advice.shortfall;
    }
}

void Candidates::size(Candidate& candidate) const {
    const Lever& lever = candidate.lever;
    Sizing sizing(*this, lever);
    const int best = sizing.best(m_advice.shortfall);
    candidate.acts = (lever.most > 0 ? sizing.at(1) : sizing.at(-1)) != m_advice.shortfall;
    candidate.tried = sizing.tried();
    if (lever.shim) note_way(candidate, sizing.trial(1).lines);
    // A lever that helps nothing alone may still make good what another spoils.
    const bool may_pair = m_options.most_pairs > 0 && !lever.shim && lever.most - lever.least > 1;
    const bool may_bend = may_help_bent(lever) && (candidate.acts || is_doubted(lever));
    if (best == 0 && !may_pair && !may_bend) return;
    candidate.probe = best != 0 ? best : lever.most > 0 ? 1 : -1;
    std::vector<double> values;
    std::optional<Suggestion> made =
        judged({{&lever, candidate.probe}}, &values, sizing.trial(candidate.probe).changed);
    ++candidate.tried;
    if (!made) return;
    const std::vector<double> today = today_values();
    bool moves = false;
    for (std::size_t i = 0; i < values.size(); ++i) {
        candidate.slopes.push_back((values[i] - today[i]) / candidate.probe);
        moves = moves || candidate.slopes.back() != 0.0;
    }
    if (!moves) candidate.slopes.clear();
    if (best != 0 || may_bend) candidate.best = std::move(made);
}

void Candidates::size_all(std::vector<Candidate>& list, const std::vector<std::size_t>& which) const {
    for_each_index(which.size(), [&](std::size_t i) {
        if (is_stopped()) return;
        size(list[which[i]]);
        if (m_options.progress) m_options.progress(AdviseStage::singles, which[i], list.size());
    });
}

std::vector<Candidate> Candidates::sized(const std::vector<Lever>& levers) const {
    using setup::ShimChange;
    using Item = std::pair<std::string, int>;
    std::vector<Candidate> list;
    for (const Lever& lever : levers)
        list.push_back({lever});
    const auto chosen = [&](const auto& choose) {
        std::vector<std::size_t> which;
        for (std::size_t i = 0; i < list.size(); ++i)
            if (choose(list[i].lever)) which.push_back(i);
        return which;
    };
    const auto is_first = [](const setup::ShimVariant& shim) {
        return shim.item == 1 && shim.change == ShimChange::more;
    };
    const auto counts = [](ShimChange change) {
        return change == ShimChange::more || change == ShimChange::fewer;
    };
    size_all(list, chosen([&](const Lever& lever) { return lever.shim && is_first(*lever.shim); }));
    std::map<std::string, bool> acts; // by the shims of a stack
    for (const Candidate& one : list)
        if (one.lever.shim && is_first(*one.lever.shim))
            acts[one.lever.key] = one.acts || is_doubted(one.lever);
    size_all(list, chosen([&](const Lever& lever) {
                 const std::size_t part = lever.key.find(".float.");
                 if (lever.shim || part == std::string::npos) return !lever.shim;
                 const auto stack = acts.find(lever.key.substr(0, part) + ".shims");
                 return stack == acts.end() || stack->second;
             }));
    size_all(list, chosen([&](const Lever& lever) {
                 return lever.shim && acts[lever.key] && counts(lever.shim->change) && !is_first(*lever.shim);
             }));
    const bool any_meets = std::any_of(list.begin(), list.end(),
                                       [](const Candidate& one) { return one.best && one.best->meets(); });
    std::map<Item, double> more_may; // take off the shortfall
    std::map<Item, double> fewer_may;
    for (const Candidate& one : list)
        if (one.lever.shim && counts(one.lever.shim->change)) {
            const Item item{one.lever.key, one.lever.shim->item};
            const bool is_more = one.lever.shim->change == ShimChange::more;
            double& same = is_more ? more_may[item] : fewer_may[item];
            double& opposite = is_more ? fewer_may[item] : more_may[item];
            same = std::max(same, one.nearer);
            opposite = std::max(opposite, one.further);
        }
    size_all(
        list, chosen([&](const Lever& lever) {
            if (!lever.shim || counts(lever.shim->change)) return false;
            if (m_options.is_for_one && may_help_bent(lever) && !any_meets) return acts[lever.key];
            const Item item{lever.key, lever.shim->item};
            const double more = more_may[item];
            const double fewer = fewer_may[item];
            const ShimChange change = lever.shim->change;
            // Of a shim that leaves a gap under larger ones, fewer close it and a smaller one widens it.
            const bool either = change == ShimChange::smaller && !is_taper(m_advice.reading, lever.key);
            const double may = either ? std::max(more, fewer) : change == ShimChange::thicker ? more : fewer;
            return may >= least_reached;
        }));
    return list;
}

} // namespace valve::study
