#include <valve/core/detail/infinity.hpp>
#include <valve/core/error.hpp>
#include <valve/core/findings.hpp>
#include <valve/core/text.hpp>
#include <valve/core/units.hpp>
#include <valve/flow/spec.hpp>
#include <valve/plate/edge.hpp>
#include <valve/setup/shims.hpp>
#include <valve/stack/quick_law.hpp>
#include <valve/study/adjusters.hpp>
#include <valve/study/detail/set_right.hpp>
#include <valve/study/search_question.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <utility>

namespace valve::study {

namespace {

/// Room above the present stack where the drawer states none, made up with spacers (common practice, no
/// source) [m].
constexpr double usual_room = 0.5e-3;

constexpr std::size_t most_settings = 2000; // of clicks, springs and their preloads together
constexpr double preload_step = 1e-3;       // as advice turns it [m]
constexpr double most_preload = 20e-3;      // [m]
constexpr double same_preload = 5e-6;       // [m]

bool is_of_support(Quantity quantity) {
    switch (quantity) {
    case Quantity::rider_sag:
    case Quantity::free_sag:
    case Quantity::support_force:
    case Quantity::hit_travel:
    case Quantity::heavy_load_travel:
    case Quantity::support_energy:
        return true;
    default:
        return false;
    }
}

/// Takes a text into a hash. It tells questions apart, no more, so that any hash would do.
void mix(std::uint64_t& hash, const std::string& text) {
    for (const char byte : text)
        hash = (hash ^ static_cast<unsigned char>(byte)) * 0x100000001b3U;
    hash = (hash ^ 0xffU) * 0x100000001b3U;
}

} // namespace

bool can_screen(Quantity quantity) {
    switch (quantity) {
    case Quantity::dead_travel_compression:
    case Quantity::dead_travel_rebound:
    case Quantity::largest_void:
    case Quantity::peak_force_compression:
    case Quantity::peak_force_rebound:
    case Quantity::shims_set_from:
    case Quantity::shims_life_from:
        return false;
    default:
        return kind_of(quantity).event == Asked::never;
    }
}

void check(const SearchOptions& options) {
    const auto require_count = [](const char* name, std::size_t value, std::size_t most) {
        if (value < 1 || value > most)
            throw InputError(
                fmt::format("{}: expected a whole number from 1 to {}, got {}", name, most, value));
    };
    require_count("most", options.most, 10'000'000);
    require_count("starts", options.starts, 1000);
    require_count("answers", options.answers, 50);
}

SearchQuestion::SearchQuestion(const setup::Reading& reading, Goal goal, const setup::Drawer& drawer,
                               SearchOptions options, damper::LiftCache& lifts)
    : m_reading(reading), m_goal(std::move(goal)), m_options(std::move(options)), m_lifts(lifts),
      m_top_speed(m_goal.top_speed(m_options.at.top_speed)) {
    check(m_options);
    m_top_speed = speed_to_judge();
    m_options.at.top_speed = m_top_speed;
    Evaluation today(m_reading, m_options.at, m_lifts);
    const auto asks = [this](Quantity quantity) {
        return std::any_of(m_goal.lines.begin(), m_goal.lines.end(),
                           [&](const GoalLine& line) { return line.figure.quantity == quantity; });
    };
    // A hit and a load are the same for every candidate.
    if (asks(Quantity::hit_travel)) m_options.at.hit = today.hit();
    if (asks(Quantity::heavy_load_travel)) m_options.at.heavy_load = today.heavy_load();
    std::vector<Figure> figures;
    for (const FigureRequest& request : m_goal.requests())
        figures.push_back(evaluate(today, request));
    m_targets = study::targets(m_goal, figures, m_top_speed);
    m_offsets.assign(m_targets.size(), 0.0);
    if (std::none_of(m_goal.lines.begin(), m_goal.lines.end(),
                     [](const GoalLine& line) { return can_screen(line.figure.quantity); }))
        throw InputError(m_goal.path + ": a search needs a line that a steady curve answers, to choose by: "
                                       "a force, a pressure, an onset of voids, a sag");

    if (m_options.places.empty()) find_places(today.model());
    gather(drawer);
    for (const damper::Place place : m_options.places)
        add_valve(place, drawer);
    add_turned_alone();
    add_settings(drawer);
    if (m_valves.empty() && m_settings.size() < 2)
        throw InputError(m_goal.path + ": nothing that the drawer can change moves a line of this goal");
    find_offsets(figures);
    find_fingerprint(drawer);
}

/// Up to which onsets have to be sought: today's say how far changes of them go.
double SearchQuestion::speed_to_judge() const {
    const auto changes_onset = [](const GoalLine& line) {
        return line.must == setup::Must::change && kind_of(line.figure.quantity).is_onset;
    };
    Goal onsets;
    std::copy_if(m_goal.lines.begin(), m_goal.lines.end(), std::back_inserter(onsets.lines), changes_onset);
    EvaluateOptions at = m_options.at;
    at.top_speed = m_top_speed;
    Evaluation today(m_reading, at, m_lifts);
    std::vector<Figure> figures;
    for (const FigureRequest& request : onsets.requests())
        figures.push_back(evaluate(today, request));
    return furthest_speed(study::targets(onsets, figures, m_top_speed), m_top_speed);
}

/// How far `today`, figures of the set-up as it is, are off those with its searched stacks taken for round.
/// What the coarse mesh adds differs from stack to stack, and is left out.
void SearchQuestion::find_offsets(const std::vector<Figure>& today) {
    if (!m_lifts.follows_bending()) return;
    damper::LiftCache round_lifts = m_lifts.as_round();
    damper::LiftLaws laws = m_lifts.laws(unit());
    const damper::LiftLaws round = round_lifts.laws(unit());
    for (const SearchValve& valve : m_valves)
        if (const auto& law = round.at_place[static_cast<std::size_t>(valve.place)])
            laws.take_round(valve.place, *law);
    Evaluation as_round(unit(), m_options.at, m_lifts, damper::Model(unit(), laws));
    for (std::size_t i = 0; i < today.size(); ++i)
        if (can_screen(today[i].quantity))
            m_offsets[i] = offset_of(today[i], evaluate(as_round, today[i].request()));
}

/// Whether a stiffer stack at `place` moves a line.
bool SearchQuestion::moves_goal(damper::Place place, const damper::Model& model) const {
    damper::SetUp stiffer = unit();
    stack::Stack& stack = stiffer.valves[place]->stack;
    if (stack.disc) return false;
    const auto lines = [&](const damper::SetUp& setup) {
        damper::LiftLaws laws = m_lifts.laws(unit());
        laws.take_round(place, stack::quick_law(setup.valves[place]->stack, m_lifts.options()));
        Evaluation of(setup, m_options.at, m_lifts, damper::Model(setup, laws));
        return judged(of, true);
    };
    const std::vector<std::optional<LineError>> before = lines(model.setup());
    for (stack::Shim& shim : stack.shims)
        shim.thickness *= 1.2;
    const std::vector<std::optional<LineError>> after = lines(stiffer);
    for (std::size_t i = 0; i < before.size(); ++i)
        if (before[i].has_value() != after[i].has_value() ||
            (before[i] && std::abs(after[i]->value - before[i]->value) > 1e-6 * std::abs(before[i]->value)))
            return true;
    return false;
}

void SearchQuestion::find_places(const damper::Model& model) {
    for (const damper::Place place : damper::all_places)
        if (unit().valves[place] && moves_goal(place, model)) m_options.places.push_back(place);
}

/// Sizes and how many of each, those of the present stacks with those of the drawer.
void SearchQuestion::gather(const setup::Drawer& drawer) {
    m_sizes = drawer.shims;
    std::vector<setup::ShimSize> present;
    for (const damper::Place place : m_options.places) {
        const std::optional<flow::Valve>& valve = unit().valves[place];
        const std::string name(damper::name(place));
        if (!valve) throw InputError(fmt::format("{}: the set-up has no such valve", name));
        if (valve->stack.disc) throw InputError(fmt::format("{}: a rigid disc has no shims to choose", name));
        for (const stack::Shim& shim : valve->stack.shims) {
            if (shim.material != valve->stack.shims.front().material)
                throw InputError(
                    fmt::format("{}: its shims are of several materials, and a drawer knows one", name));
            present.push_back({shim.outer_radius, shim.thickness, 1});
        }
    }
    // Diameters that differ by rounding alone are one size.
    for (const setup::ShimSize& shim : present) {
        const auto known = std::find_if(m_sizes.begin(), m_sizes.end(), [&](const setup::ShimSize& size) {
            return std::abs(size.outer_radius - shim.outer_radius) < 1e-9 &&
                   std::abs(size.thickness - shim.thickness) < 1e-9;
        });
        if (known == m_sizes.end())
            m_sizes.push_back(shim);
        else
            ++known->count;
    }
    std::sort(m_sizes.begin(), m_sizes.end(), [](const setup::ShimSize& a, const setup::ShimSize& b) {
        return a.outer_radius != b.outer_radius ? a.outer_radius > b.outer_radius : a.thickness < b.thickness;
    });
    for (const setup::ShimSize& size : m_sizes)
        m_at_hand.push_back(size.count);
}

void SearchQuestion::add_valve(damper::Place place, const setup::Drawer& drawer) {
    SearchValve made;
    made.place = place;
    made.key = fmt::format("valves.{}", damper::name(place));
    add_shims(made, drawer);
    add_fittings(made, drawer, turns_of(place));
    m_valves.push_back(std::move(made));
}

void SearchQuestion::add_shims(SearchValve& made, const setup::Drawer& drawer) const {
    const stack::Stack& stack = unit().valves[made.place]->stack;
    std::size_t bending = stack.shims.size();
    while (bending > 1 && is_spacer(stack, stack.shims[bending - 1]))
        --bending;
    made.spacers.assign(stack.shims.begin() + static_cast<std::ptrdiff_t>(bending), stack.shims.end());
    double largest = 0.0;
    for (std::size_t i = 0; i < bending; ++i) {
        const stack::Shim& shim = stack.shims[i];
        const auto size = std::find_if(m_sizes.begin(), m_sizes.end(), [&](const setup::ShimSize& one) {
            return std::abs(one.outer_radius - shim.outer_radius) < 1e-9 &&
                   std::abs(one.thickness - shim.thickness) < 1e-9;
        });
        made.present.push_back(static_cast<int>(size - m_sizes.begin()));
        largest = std::max(largest, shim.outer_radius);
    }
    StackFamily::Limits limits;
    limits.sizes = m_sizes;
    limits.face_radius = stack.seat.outer_radius;
    limits.largest_radius = largest;
    limits.smallest_radius = stack.clamp_radius + 2.1 * plate::same_edge;
    if (stack.floating)
        limits.smallest_radius =
            std::max({limits.smallest_radius, stack.floating->spring_radius, stack.floating->stop_radius});
    limits.height = drawer.height.value_or(height_of(stack.shims) + usual_room) - height_of(made.spacers);
    limits.order = m_options.order;
    made.family = std::make_unique<const StackFamily>(std::move(limits));
}

void check_turned(const setup::Reading& reading, const std::vector<std::string>& names) {
    std::vector<std::string> known;
    for (const Adjuster& adjuster : adjusters(reading))
        known.push_back(adjuster.name);
    if (reading.unit && reading.unit->support && reading.unit->support->spring)
        known.emplace_back(main_spring);
    for (const std::string& name : names)
        if (std::find(known.begin(), known.end(), name) == known.end())
            throw InputError(fmt::format("no adjuster {} to turn{}; there is {}", in_quotes(name),
                                         did_you_mean(name, known),
                                         known.empty() ? "none" : fmt::format("{}", fmt::join(known, ", "))));
}

void SearchQuestion::add_settings(const setup::Drawer& drawer) {
    std::vector<std::vector<double>> choices;
    SearchSetting present;
    check_turned(m_reading, m_options.adjusters);
    const std::vector<Adjuster> known = study::adjusters(m_reading);
    const bool has_spring = unit().support && unit().support->spring;
    for (const std::string& name : m_options.adjusters) {
        if (has_spring && name == main_spring) continue; // below
        const auto found = std::find_if(known.begin(), known.end(),
                                        [&](const Adjuster& adjuster) { return adjuster.name == name; });
        if (found->steps != "clicks") continue; // of a coil, which belongs to its valve
        for (const damper::Place place : damper::all_places)
            if (damper::name(place) == name) m_needles.push_back({name, found->key, place});
        std::vector<double> clicks{found->setting};
        for (int click = 0; click <= static_cast<int>(std::floor(found->range + 1e-9)); ++click)
            if (std::abs(click - found->setting) > 1e-9) clicks.push_back(click);
        choices.push_back(std::move(clicks));
        present.clicks.push_back(found->setting);
    }
    m_settings = {present};
    for (std::size_t needle = 0; needle < choices.size(); ++needle) {
        std::vector<SearchSetting> more;
        for (const SearchSetting& setting : m_settings)
            for (const double click : choices[needle]) {
                more.push_back(setting);
                more.back().clicks[needle] = click;
            }
        m_settings = std::move(more);
        if (m_settings.size() > most_settings)
            throw InputError(
                fmt::format("the needles have more than {} settings together; turn fewer", most_settings));
    }
    const bool asks_support = std::any_of(m_goal.lines.begin(), m_goal.lines.end(), [](const GoalLine& line) {
        return is_of_support(line.figure.quantity);
    });
    const bool turns_spring = std::find(m_options.adjusters.begin(), m_options.adjusters.end(),
                                        main_spring) != m_options.adjusters.end();
    if (has_spring && turns_spring && !asks_support)
        throw InputError(fmt::format("{}: no line asks for sag or support, and {} is turned for these alone",
                                     m_goal.path, main_spring));
    if (!has_spring || !asks_support) return;
    std::vector<SearchSetting> more = m_settings;
    for (const double spring : drawer.springs) {
        if (std::abs(spring - unit().support->spring->rate) < 1e-6 * spring) continue;
        for (SearchSetting setting : m_settings) {
            setting.spring = spring;
            more.push_back(std::move(setting));
        }
    }
    m_settings = std::move(more);
    if (turns_spring) add_preloads();
}

void SearchQuestion::add_preloads() {
    const double present = unit().support->spring->preload;
    std::vector<SearchSetting> more = m_settings;
    const int most = static_cast<int>(std::floor(std::max(most_preload, present) / preload_step + 1e-9));
    for (int step = 0; step <= most; ++step) {
        if (std::abs(step * preload_step - present) < same_preload) continue;
        for (SearchSetting setting : m_settings) {
            setting.preload = step * preload_step;
            more.push_back(std::move(setting));
        }
    }
    if (more.size() > most_settings)
        throw InputError(fmt::format("needles, springs and preloads make more than {} settings together; "
                                     "turn fewer",
                                     most_settings));
    m_settings = std::move(more);
}

void SearchQuestion::find_fingerprint(const setup::Drawer& drawer) {
    m_fingerprint = 0xcbf29ce484222325U;
    const setup::Document nothing = setup::Document::parse("format: 1\n", "nothing");
    if (m_reading.written)
        for (const setup::Difference& written : setup::differences(nothing, *m_reading.written))
            mix(m_fingerprint, written.key + ": " + written.to.value_or(""));
    for (const GoalLine& line : m_goal.lines)
        mix(m_fingerprint,
            fmt::format("{} {} {} {} {} {} {} {} {} {}", kind_of(line.figure.quantity).key,
                        line.figure.speed.value_or(0.0), line.figure.travel_share.value_or(-1.0),
                        line.figure.frequency.value_or(0.0), static_cast<int>(line.must), line.amount.value,
                        line.amount.is_share, line.within ? line.within->value : -1.0,
                        line.within && line.within->is_share, line.direction));
    for (const setup::ShimSize& size : m_sizes)
        mix(m_fingerprint, fmt::format("{} {} {}", size.outer_radius, size.thickness, size.count));
    mix(m_fingerprint, fmt::format("{} {} {} {}", drawer.sleeves, drawer.springs, drawer.coils,
                                   drawer.height.value_or(0.0)));
    for (const damper::Place place : m_options.places)
        mix(m_fingerprint, std::string(damper::name(place)));
    mix(m_fingerprint,
        fmt::format("{} {} {} {} {} {} {} {} {} {} {} {}", static_cast<int>(m_options.order),
                    m_options.adjusters, m_options.most, m_options.starts, m_options.seed,
                    m_options.at.travel.value_or(-1.0), static_cast<int>(m_options.at.rod_into),
                    m_options.at.top_speed, static_cast<int>(m_lifts.options().theory),
                    static_cast<int>(m_lifts.options().shape), m_options.at.hit.value_or(-1.0),
                    m_options.at.heavy_load.value_or(-1.0)));
}

SearchCandidate SearchQuestion::present() const {
    SearchCandidate candidate;
    for (const SearchValve& valve : m_valves) {
        candidate.piles.push_back(valve.present);
        candidate.fittings.push_back(0);
    }
    return candidate;
}

Counts SearchQuestion::left_for(std::size_t valve, const SearchCandidate& candidate) const {
    Counts left = m_at_hand;
    for (std::size_t v = 0; v < m_valves.size(); ++v) {
        if (v != valve && v < candidate.piles.size())
            for (const int size : candidate.piles[v])
                --left[static_cast<std::size_t>(size)];
    }
    return left;
}

int SearchQuestion::changed(const SearchCandidate& candidate) const {
    int sum = 0;
    for (std::size_t v = 0; v < m_valves.size(); ++v)
        sum += changed_shims(m_valves[v].present, candidate.piles[v]);
    return sum;
}

std::uint64_t SearchQuestion::opened(const SearchCandidate& candidate) const {
    std::uint64_t valves = 0;
    for (std::size_t v = 0; v < m_valves.size(); ++v) {
        const SearchFitting& fitting = m_valves[v].fittings[candidate.fittings[v]];
        if (candidate.piles[v] != m_valves[v].present || fitting.sleeve || fitting.coil)
            valves |= std::uint64_t(1) << v;
    }
    return valves;
}

double SearchQuestion::size() const {
    double product = 1.0;
    for (const SearchValve& valve : m_valves)
        product *= valve.ways();
    return product;
}

std::optional<flow::Valve> SearchQuestion::valve_with(std::size_t valve, const Pile& pile,
                                                      std::size_t fitting) const {
    const SearchValve& searched = m_valves[valve];
    flow::Valve made = *unit().valves[searched.place];
    if (searched.family) {
        const plate::Material material = made.stack.shims.front().material;
        made.stack.shims.clear();
        for (const int size : pile) {
            const setup::ShimSize& shim = m_sizes[static_cast<std::size_t>(size)];
            made.stack.shims.push_back({shim.outer_radius, shim.thickness, material});
        }
        made.stack.shims.insert(made.stack.shims.end(), searched.spacers.begin(), searched.spacers.end());
    }
    if (!fit(made, searched, searched.fittings[fitting], pile == searched.present)) return std::nullopt;
    if (first_error(check(made)) != nullptr) return std::nullopt;
    return made;
}

void SearchQuestion::set(damper::SetUp& unit, const SearchSetting& setting) const {
    for (std::size_t i = 0; i < m_needles.size(); ++i)
        std::get<flow::Needle>(*unit.valves[m_needles[i].place]->bleed).clicks = setting.clicks[i];
    if (!unit.support || !unit.support->spring) return;
    // What stays has to be set too: `unit` may come with another setting.
    const auto& own = *m_reading.unit->support->spring;
    unit.support->spring->rate = setting.spring.value_or(own.rate);
    unit.support->spring->preload = setting.preload.value_or(own.preload);
}

std::vector<std::string> SearchQuestion::written(std::size_t valve, const Pile& pile) const {
    std::vector<std::pair<std::string, int>> groups;
    const auto add = [&](double radius, double thickness) {
        std::string shim = setup::shim_text(2.0 * radius, thickness);
        if (!groups.empty() && groups.back().first == shim)
            ++groups.back().second;
        else
            groups.emplace_back(std::move(shim), 1);
    };
    for (const int size : pile)
        add(m_sizes[static_cast<std::size_t>(size)].outer_radius,
            m_sizes[static_cast<std::size_t>(size)].thickness);
    for (const stack::Shim& spacer : m_valves[valve].spacers)
        add(spacer.outer_radius, spacer.thickness);
    std::vector<std::string> texts;
    for (const auto& [shim, count] : groups)
        texts.push_back(count == 1 ? shim : fmt::format("{} * {}", count, shim));
    return texts;
}

setup::Document SearchQuestion::document(const SearchCandidate& candidate,
                                         const SearchSetting& setting) const {
    setup::Document document = m_reading.written.value();
    for (std::size_t v = 0; v < m_valves.size(); ++v) {
        const SearchValve& valve = m_valves[v];
        if (candidate.piles[v] != valve.present)
            document = document.with(valve.key + ".shims",
                                     fmt::format("[{}]", fmt::join(written(v, candidate.piles[v]), ", ")));
        document = fitted(std::move(document), valve, valve.fittings[candidate.fittings[v]],
                          candidate.piles[v] == valve.present);
    }
    for (std::size_t i = 0; i < m_needles.size(); ++i)
        if (setting.clicks[i] != m_settings.front().clicks[i])
            document = document.with(m_needles[i].key, setting.clicks[i]);
    if (setting.spring)
        document = document.with("support.spring.rate", format_quantity(*setting.spring, "N/mm"));
    if (setting.preload)
        document = document.with("support.spring.preload", format_quantity(*setting.preload, "mm"));
    return document;
}

std::vector<std::optional<LineError>> SearchQuestion::judged(Evaluation& of, bool screening) const {
    std::vector<std::optional<LineError>> lines;
    for (std::size_t i = 0; i < m_targets.size(); ++i) {
        const Target& target = m_targets[i];
        const FigureRequest& request = target.line.figure;
        if (screening && !can_screen(request.quantity))
            lines.emplace_back();
        else
            lines.push_back(error_of(
                target, set_right(evaluate(of, request), screening ? m_offsets[i] : 0.0, m_top_speed),
                m_top_speed));
    }
    return lines;
}

double SearchQuestion::error(const std::vector<std::optional<LineError>>& lines, bool screening) const {
    double sum = 0.0;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        if (screening && !can_screen(m_targets[i].line.figure.quantity)) continue;
        if (!lines[i]) return infinity;
        sum += lines[i]->steps * lines[i]->steps;
    }
    return std::sqrt(sum);
}

} // namespace valve::study
