#include <valve/core/error.hpp>
#include <valve/study/advise.hpp>
#include <valve/study/detail/as_is.hpp>
#include <valve/study/detail/candidates.hpp>
#include <valve/study/reading.hpp>

#include <algorithm>
#include <tuple>
#include <utility>

namespace valve::study {

namespace {

/// By worth; of those that are equal the least effort first, and of these what moves the rest least.
void rank(std::vector<Suggestion>& list) {
    std::stable_sort(list.begin(), list.end(),
                     [](const Suggestion& a, const Suggestion& b) { return a.worth > b.worth; });
    for (auto group = list.begin(); group != list.end();) {
        const double least = (1.0 - equal_worth) * group->worth;
        const auto end =
            std::find_if(group, list.end(), [&](const Suggestion& s) { return s.worth < least; });
        std::stable_sort(group, end, [](const Suggestion& a, const Suggestion& b) {
            return std::tuple(a.effort, -a.worth, a.side_effect) <
                   std::tuple(b.effort, -b.worth, b.side_effect);
        });
        group = end;
    }
}

/// The first of those that reach furthest.
std::vector<Suggestion>::iterator furthest(std::vector<Suggestion>& list) {
    return std::max_element(list.begin(), list.end(),
                            [](const Suggestion& a, const Suggestion& b) { return a.reached < b.reached; });
}

constexpr std::ptrdiff_t most_alike = 2; // single changes told of one key

/// Leaves the best `most` of those that change the same keys, and what reaches furthest: a list is not to be
/// all neighbours of one another.
void leave_distinct(std::vector<Suggestion>& list, std::ptrdiff_t most) {
    std::vector<std::vector<std::string>> told;
    const Suggestion* far = list.empty() ? nullptr : &*furthest(list);
    std::erase_if(list, [&](const Suggestion& suggestion) {
        std::vector<std::string> keys;
        for (const Step& step : suggestion.steps)
            keys.push_back(step.key);
        const bool enough = std::count(told.begin(), told.end(), keys) >= most;
        told.push_back(std::move(keys));
        return enough && &suggestion != far;
    });
}

void keep_nearest(Advice& advice, const std::vector<Candidate>& singles) {
    advice.nearest.reset();
    if (advice.can_be_met()) return;
    const auto consider = [&](const Suggestion& one) {
        if (one.reached > (advice.nearest ? advice.nearest->reached : 0.0)) advice.nearest = one;
    };
    for (const Candidate& single : singles)
        if (single.best) consider(*single.best);
    for (const Suggestion& change : advice.changes)
        consider(change);
    for (const Suggestion& pair : advice.pairs)
        consider(pair);
}

/// Where one change is asked for: the nearest, with what else it moves; what cannot be solved so is no
/// change.
void keep_nearest_whole(Advice& advice, const Candidates& candidates) {
    for (keep_nearest(advice, {}); advice.nearest; keep_nearest(advice, {})) {
        const auto is_it = [&](const Suggestion& one) {
            return one.steps.front().key == advice.nearest->steps.front().key &&
                   one.steps.front().to == advice.nearest->steps.front().to;
        };
        if (candidates.complete(*advice.nearest)) return;
        std::erase_if(advice.changes, is_it);
    }
}

/// Leaves the first `most`, the last of them what reaches furthest where that comes after.
void leave_at_most(std::vector<Suggestion>& list, std::size_t most) {
    if (list.size() <= most) return;
    const auto far = furthest(list);
    if (most > 0 && far - list.begin() >= static_cast<std::ptrdiff_t>(most))
        std::iter_swap(list.begin() + static_cast<std::ptrdiff_t>(most) - 1, far);
    list.resize(most);
}

/// Of a list by rank the first that meets the goal, of little effort if there is one; none where none does.
void leave_one(std::vector<Suggestion>& list) {
    const auto first = [&list](Effort most) {
        return std::find_if(list.begin(), list.end(),
                            [most](const Suggestion& one) { return one.meets() && one.effort <= most; });
    };
    auto found = first(Effort::shims);
    if (found == list.end()) found = first(Effort::parts);
    if (found == list.end()) return list.clear();
    list = {*found};
}

/// Whether a pair beats each of its steps alone, where that is told.
bool adds(const Suggestion& pair, const std::vector<Suggestion>& changes) {
    for (const Suggestion& change : changes)
        for (const Step& step : pair.steps) {
            const Step& alone = change.steps.front();
            const bool is_same = alone.key == step.key && alone.shim.has_value() == step.shim.has_value() &&
                                 (!step.shim || alone.to == step.to);
            if (is_same && !beats(pair, change)) return false;
        }
    return true;
}

/// Leaves the pairs of which both changes are needed.
void leave_needed(Advice& advice, const Candidates& candidates, const std::vector<Candidate>& singles) {
    std::erase_if(advice.pairs, [&](const Suggestion& pair) { return !adds(pair, advice.changes); });
    advice.pairs = candidates.that_need_both(advice.pairs, singles, advice.tried);
}

/// Puts figures as they are told in place of those of the search.
void decide(Advice& advice, const Candidates& candidates, const std::vector<Candidate>& singles,
            const AdviseOptions& options) {
    advice.was_ridden_again = candidates.rides_twice();
    advice.was_solved_again = candidates.bends_twice();
    // A few more than are told may take a place among them; rides cost too much for it.
    const std::size_t spare = options.is_for_one ? advice.changes.size() : candidates.rides_twice() ? 0 : 5;
    leave_at_most(advice.changes, options.most_changes + spare);
    leave_at_most(advice.pairs, options.most_pairs);
    advice.changes = candidates.decided(advice.changes, singles, advice);
    if (!options.is_for_one) // they are among the changes
        for (Suggestion& one : candidates.decided(candidates.doubted(singles), singles, advice))
            advice.changes.push_back(std::move(one));
    advice.pairs = candidates.decided(advice.pairs, singles, advice);
    const std::optional<Suggestion> found = std::exchange(advice.nearest, std::nullopt);
    if (options.is_for_one) {
        keep_nearest_whole(advice, candidates);
        std::erase_if(advice.changes, [](const Suggestion& one) { return !one.meets(); });
        rank(advice.changes);
        leave_one(advice.changes);
    } else {
        rank(advice.changes);
        leave_distinct(advice.changes, most_alike);
        rank(advice.pairs);
        leave_needed(advice, candidates, singles);
        keep_nearest(advice, {});
    }
    if (advice.nearest || advice.can_be_met() || !found) return;
    std::vector<Suggestion> again = candidates.decided({*found}, singles, advice, 1e-9);
    if (!again.empty() && (!options.is_for_one || candidates.complete(again.front())))
        advice.nearest = std::move(again.front());
}

} // namespace

bool Suggestion::meets() const {
    return std::all_of(lines.begin(), lines.end(), [](const LineError& line) { return line.met(); });
}

bool Advice::can_be_met() const {
    const auto meets = [](const Suggestion& one) { return one.meets(); };
    return std::any_of(changes.begin(), changes.end(), meets) ||
           std::any_of(pairs.begin(), pairs.end(), meets);
}

Advice advise(const setup::Document& document, const Goal& goal, const AdviseOptions& options,
              damper::LiftCache& lifts) {
    AsIs as_is;
    return advise(document, goal, options, lifts, as_is);
}

Advice advise(const setup::Document& document, const Goal& goal, const AdviseOptions& options,
              damper::LiftCache& lifts, AsIs& known) {
    Advice advice;
    advice.file = document.path();
    advice.reading = setup::read(document);
    advice.goal = goal;
    advice.at = options.at;
    advice.shape = lifts.options().shape;
    const damper::SetUp& unit = unit_of(document.path(), advice.reading);
    const std::vector<RideEvent> events = goal.events();
    require_rides(document.path(), advice.reading, events);
    const auto ask_up_to = [&](double top_speed) {
        advice.at.top_speed = top_speed;
        Evaluation as_is(advice.reading, advice.at, lifts);
        if (unit.support) {
            advice.at.hit = as_is.hit();
            advice.at.heavy_load = as_is.heavy_load();
        }
        advice.today.clear();
        for (const FigureRequest& request : goal.requests())
            advice.today.push_back(known.told(as_is, request));
        advice.targets = targets(goal, advice.today, top_speed);
        return furthest_speed(advice.targets, top_speed);
    };
    const double asked = goal.top_speed(options.at.top_speed);
    if (const double further = ask_up_to(asked); further > asked) ask_up_to(further);
    const Candidates candidates(advice, document, options, lifts, known);
    advice.errors = candidates.today_errors();
    advice.shortfall = candidates.shortfall(advice.errors);
    for (const setup::Document& other : options.beside)
        advice.beside.push_back(candidates.beside(other));
    if (advice.met_today()) return advice;

    std::vector<Lever> all = levers(advice.reading);
    if (!options.only.empty())
        std::erase_if(all, [&](const Lever& lever) {
            return std::none_of(options.only.begin(), options.only.end(),
                                [&](const std::string& start) { return lever.key.starts_with(start); });
        });
    advice.levers = all.size();
    const std::vector<Candidate> singles = candidates.sized(all);
    for (const Candidate& single : singles) {
        advice.tried += single.tried;
        if (single.best && (options.is_for_one || single.best->reached >= least_reached))
            advice.changes.push_back(*single.best);
    }
    if (options.most_pairs > 0) advice.pairs = candidates.pairs(singles, advice.tried);
    rank(advice.changes);
    rank(advice.pairs);
    if (events.empty()) { // where there are, each step is a ride
        candidates.polish(advice.pairs, options.most_pairs, singles, advice.tried);
        rank(advice.pairs);
    }
    keep_nearest(advice, singles);
    // Whoever wants one wants the best as it is told: any may be that.
    if (!options.is_for_one) leave_distinct(advice.changes, most_alike);
    leave_distinct(advice.pairs, 1);
    if (candidates.rides_twice() || candidates.bends_twice() || options.is_for_one)
        decide(advice, candidates, singles, options);
    else
        leave_needed(advice, candidates, singles);
    leave_at_most(advice.changes, options.most_changes);
    leave_at_most(advice.pairs, options.most_pairs);
    advice.is_interrupted = candidates.is_stopped();
    return advice;
}

} // namespace valve::study
