#include <valve/core/bracket.hpp>
#include <valve/core/detail/infinity.hpp>
#include <valve/stack/detail/follow.hpp>
#include <valve/stack/detail/refine.hpp>

#include <algorithm>
#include <cmath>
#include <functional>
#include <map>
#include <string>

namespace valve::stack {
namespace {

/// First pressure of a curve above zero, and the ratio of one pressure to the next before refinement.
constexpr double first_pressure = 100.0;
constexpr double pressure_ratio = 1.3;

/// What has changed at this pressure changes as the very first load comes on [Pa].
constexpr double at_once = 1.0;

/// How a state stands to a change along the pressure.
struct Sight {
    bool before = true;
    double change = 0.0; ///< where the state's tangent has it [Pa]; infinite: nowhere
};

/// Pressures next to a change between `low`, before it, and `high`, and their states in `path`. The bracket
/// closes by what its ends foresee of the change, each Newton's method on the function that ends there: exact
/// in linear theory where no other contact comes between. Half-way where that fails to halve the bracket in
/// two steps.
Bracket locate(Path& path, double low, double high, const std::function<Sight(const State&)>& look) {
    constexpr double accuracy = 1e-8;
    const auto sight = [&](double pressure) { return look(*path.at(pressure)); };
    double from_low = sight(low).change;
    double from_high = sight(high).change;
    double width_before = infinity;
    for (int step = 0;; ++step) {
        const double wanted = accuracy * high + 1e-6;
        if (high - low <= wanted) break;
        // A little beyond what is foreseen, so that the bracket closes on both sides.
        double next = std::abs(from_low - low) < std::abs(high - from_high) ? from_low + 0.4 * wanted
                                                                            : from_high - 0.4 * wanted;
        const bool halved = step % 2 == 1 || high - low <= 0.5 * width_before;
        if (step % 2 == 0) width_before = high - low;
        if (!halved || !(next > low && next < high)) next = 0.5 * (low + high);
        const State* state = path.at(next);
        if (state == nullptr) break;
        const Sight seen = look(*state);
        (seen.before ? low : high) = next;
        (seen.before ? from_low : from_high) = seen.change;
    }
    return {low, high};
}

/// The openings at which two surfaces meet, and the bound that is their contact.
struct Meeting {
    std::vector<int> openings;
    Hold contact = Hold::lower;
};

/// Of a pair of shims (0: the seat), by their numbers.
Meeting meeting_of(const Problem& problem, const std::pair<int, int>& pair) {
    Meeting meeting;
    for (int k = 0; k < problem.stations(); ++k) {
        if (k == problem.ring_station()) continue;
        const std::vector<int>& here = problem.present(k);
        if (pair.first == 0) {
            if (problem.on_land(k)) meeting.openings.push_back(problem.opening(k, 0));
            continue;
        }
        for (std::size_t p = 1; p < here.size(); ++p)
            if (problem.last_shim(here[p - 1]) == pair.first && problem.first_shim(here[p]) == pair.second)
                meeting.openings.push_back(problem.opening(k, static_cast<int>(p)));
    }
    return meeting;
}

/// Whether anything of a meeting is closed, and where the tangent next has this otherwise, going up the
/// pressure from before the change and down from behind it: the last contact to go, the first to come.
Sight look_at(const Problem& problem, const Meeting& meeting, bool closed_before, const State& state) {
    const auto held = [&](int i) { return state.hold[static_cast<std::size_t>(i)] == meeting.contact; };
    const bool closed = std::any_of(meeting.openings.begin(), meeting.openings.end(), held);
    Sight sight{closed == closed_before, infinity};
    const double way = sight.before ? 1.0 : -1.0;
    double farthest = -infinity;
    double nearest = infinity;
    for (const int i : meeting.openings) {
        if (closed && !held(i)) continue;
        const double side = meeting.contact == Hold::lower ? 1.0 : -1.0;
        const double bound = side > 0.0 ? problem.lower()[i] : problem.upper()[i];
        const double left = side * (closed ? state.gradient[i] : state.x[i] - bound);
        const double rate = way * side * (closed ? state.gradient_rate[i] : state.rate[i]);
        const double step = rate < 0.0 ? left / -rate : infinity;
        farthest = std::max(farthest, step);
        nearest = std::min(nearest, step);
    }
    sight.change = state.pressure + way * (closed ? farthest : nearest);
    return sight;
}

/// An event, and a pressure right before it, whose state is in the path as that of the event is.
struct Change {
    Event event;
    double before = 0.0; ///< [Pa]
};

/// Changes of contact between two neighbouring states, each located on its own.
void find_changes(Path& path, const State& low, const State& high, std::vector<Change>& changes) {
    const Problem& problem = path.problem();
    const Contacts before = contacts(problem, low);
    const Contacts after = contacts(problem, high);
    auto add = [&](EventKind kind, std::vector<int> shims, double radius, const Meeting& meeting,
                   bool closed_before) {
        const auto look = [&](const State& state) { return look_at(problem, meeting, closed_before, state); };
        const Bracket found =
            high.pressure > at_once ? locate(path, low.pressure, high.pressure, look) : Bracket{0.0, 0.0};
        // Touching and parting under so little load is no event on the bench.
        if (found.high < first_pressure && (kind == EventKind::touch || kind == EventKind::part)) return;
        changes.push_back({{found.high, kind, std::move(shims), radius}, found.low});
    };
    for (const auto& [pair, radius] : before.pairs)
        if (after.pairs.count(pair) == 0)
            add(pair.first == 0 ? EventKind::crack : EventKind::part, {pair.first, pair.second}, radius,
                meeting_of(problem, pair), true);
    for (const auto& [pair, radius] : after.pairs)
        if (before.pairs.count(pair) == 0) {
            const bool gap = pair.first > 0 && pair.second > pair.first + 1;
            add(gap ? EventKind::gap_closing : EventKind::touch, {pair.first, pair.second}, radius,
                meeting_of(problem, pair), false);
        }
    const int last = problem.last_shim(problem.leaves() - 1);
    if (before.hub && !after.hub)
        add(EventKind::float_start, {0, problem.first_shim(0)}, problem.radius(problem.ring_station()),
            {{problem.opening(problem.ring_station(), 0)}, Hold::lower}, true);
    if (!before.stop && after.stop)
        add(EventKind::stop, {last}, problem.radius(problem.stop_station()),
            {{problem.opening(problem.stop_station(), 0)}, Hold::upper}, false);
}

/// Where along the curve the share of a limit first passes 1; none where it does not, or no strip states it.
std::optional<StressLimit> passes(Path& path, const std::vector<LiftPoint>& points,
                                  std::optional<StressShare> LiftPoint::*share) {
    const auto excess = [share](const LiftPoint& point) { return (point.*share)->share - 1.0; };
    const auto first = std::find_if(points.begin(), points.end(), [&](const LiftPoint& point) {
        return point.*share && excess(point) > 0.0;
    });
    if (first == points.end()) return std::nullopt;
    if (first == points.begin()) return StressLimit{first->pressure, (*first.*share)->peak};
    const auto before = std::prev(first);
    const Bracket found = close_in({before->pressure, excess(*before)}, {first->pressure, excess(*first)},
                                   1e-6, [&](double pressure) -> std::optional<double> {
                                       const std::optional<LiftPoint> point = path.point(pressure);
                                       if (!point) return std::nullopt;
                                       return excess(*point);
                                   });
    return StressLimit{found.high, ((*path.point(found.high)).*share)->peak};
}

/// Highest pressure above `low` that the theory bears, where `high` lies beyond it.
double last_borne(Path& path, double low, double high) {
    const Bracket found = bisect(low, high, 1e-4, [&path](double pressure) {
        return std::optional<bool>(path.at(pressure) != nullptr);
    });
    path.at(found.high); // so that the refusal is that of the end
    return found.low;
}

/// Adds the points of changes, rising in pressure, which tell the rates on both sides; returns where these
/// are from, by the pressure of the point.
std::map<double, Followed::Sides> add_changes(Path& path, const std::vector<Change>& changes,
                                              Points& points) {
    std::map<double, Followed::Sides> sides;
    constexpr double together = 1e-7; // changes that no pressure keeps apart
    for (const Change& change : changes) {
        if (change.event.pressure == 0.0) continue; // the rate under the first load is known
        LiftPoint point = *path.point(change.event.pressure);
        LiftPoint& last = std::prev(points.upper_bound(point.pressure))->second;
        if (point.pressure - last.pressure <= together * point.pressure) {
            last.rate_after = point.rate_after;
            sides.emplace(last.pressure, Followed::Sides{last.pressure, last.pressure}).first->second.after =
                point.pressure;
            continue;
        }
        point.rate_before = path.lift_rate(*path.at(change.before));
        points.emplace(point.pressure, point);
        sides.emplace(point.pressure, Followed::Sides{change.before, point.pressure});
    }
    return sides;
}

} // namespace

Followed follow(Path& path, double max_pressure) {
    const Stack& stack = path.problem().stack();
    Followed result;
    LiftCurve& curve = result.curve;
    curve.theory = path.problem().theory();
    curve.load_area = path.problem().load_area();

    const State* low = path.at(0.0);
    if (low == nullptr) throw SolveError(std::string(no_lift_curve) + path.refusal());
    const bool preloaded = stack.seat.height > 0.0 || stack.floating.has_value();
    Points points{{0.0, *path.point(0.0)}};
    std::vector<Change> changes;
    double first_load = 0.0;

    // A stack without preload has no forces at rest and so no contacts to speak of: its events begin at the
    // first pressure, and its rate at rest is that under the first load.
    if (const State* first = path.at(std::min(at_once, max_pressure))) {
        if (preloaded) find_changes(path, *low, *first, changes);
        points.begin()->second.rate_after = path.lift_rate(*first);
        first_load = first->pressure;
        low = first;
    }
    double reached = 0.0;
    while (reached < max_pressure && !curve.end_reason) {
        const double asked = std::min(std::max(first_pressure, reached * pressure_ratio), max_pressure);
        if (path.at(asked) != nullptr) {
            reached = asked;
        } else {
            const std::string refused = path.refusal();
            const double end = path.beyond_theory() ? last_borne(path, reached, asked) : reached;
            curve.end_reason = path.refusal();
            if (end == 0.0) throw SolveError(std::string(no_lift_curve) + refused);
            if (end == reached) break;
            reached = end;
        }
        const State* high = path.at(reached);
        if (points.size() > 1 || preloaded) find_changes(path, *low, *high, changes);
        points.emplace(reached, *path.point(reached));
        low = high;
    }
    std::stable_sort(changes.begin(), changes.end(),
                     [](const Change& a, const Change& b) { return a.event.pressure < b.event.pressure; });
    std::map<double, Followed::Sides> sides = add_changes(path, changes, points);
    sides.emplace(0.0, Followed::Sides{}).first->second.after = first_load;
    refine(points, [&path](double pressure) { return path.point(pressure); });

    for (const auto& [pressure, point] : points) {
        curve.points.push_back(point);
        const auto found = sides.find(pressure);
        result.sides.push_back(found != sides.end() ? found->second : Followed::Sides{pressure, pressure});
    }
    for (Change& change : changes)
        curve.events.push_back(std::move(change.event));
    curve.set = passes(path, curve.points, &LiftPoint::of_yield);
    curve.fatigue = passes(path, curve.points, &LiftPoint::of_fatigue);
    for (const Event& event : curve.events) {
        if (event.kind == EventKind::crack) curve.crack_pressure = event.pressure;
        if (event.kind == EventKind::float_start && !curve.float_start_pressure)
            curve.float_start_pressure = event.pressure;
    }
    if (stack.floating && stack.floating->rests_on == RestsOn::seat)
        curve.float_start_pressure = curve.crack_pressure; // nothing but the seat and the spring holds it
    const auto open = std::find_if(curve.points.begin(), curve.points.end(),
                                   [](const LiftPoint& point) { return point.seat_lift >= opened; });
    if (open != curve.points.end() && open != curve.points.begin()) {
        const double before = std::prev(open)->pressure;
        curve.opening_pressure =
            locate(path, before, open->pressure, [&path](const State& state) {
                const double missing = opened - path.seat_lift(state);
                return Sight{missing > 0.0, state.pressure + missing / path.lift_rate(state)};
            }).high;
    }
    return result;
}

} // namespace valve::stack
