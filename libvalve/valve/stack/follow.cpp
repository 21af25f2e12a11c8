#include <valve/core/bracket.hpp>
#include <valve/stack/detail/load.hpp>
#include <valve/stack/detail/path.hpp>
#include <valve/stack/follow.hpp>
#include <valve/stack/lift_law.hpp>

#include <algorithm>
#include <cmath>
#include <functional>
#include <limits>
#include <map>

namespace valve::stack {
namespace {

/// Seat lift that a workshop calls open [m].
constexpr double opened = 0.02e-3;

/// First pressure of a curve above zero, and the ratio of one pressure to the next before refinement.
constexpr double first_pressure = 100.0;
constexpr double pressure_ratio = 1.3;

/// What has changed at this pressure changes as the very first load comes on [Pa].
constexpr double at_once = 1.0;

/// Interpolated lift agrees with computed lift to this share, or to this height [m].
constexpr double lift_accuracy = 1e-3;
constexpr double lift_resolution = 2e-8;

constexpr double infinity = std::numeric_limits<double>::infinity();

using Points = std::map<double, LiftPoint>;

/// The law by lifts alone.
LiftLaw law_of(const Points& points) {
    std::vector<double> pressures;
    std::vector<double> lifts;
    double lift = 0.0;
    for (const auto& [pressure, point] : points) {
        lift = std::max(lift, point.seat_lift);
        pressures.push_back(pressure);
        lifts.push_back(lift);
    }
    return LiftLaw(std::move(pressures), std::move(lifts), 1.0);
}

/// Lift at a share of the way between two points: the cubic through both with their rates.
double foretell(const LiftPoint& low, const LiftPoint& high, double share) {
    // Newton form of the cubic Hermite polynomial.
    const double width = high.pressure - low.pressure;
    const double rise = high.seat_lift - low.seat_lift;
    const double from = width * low.rate_after;
    const double to = width * high.rate_before;
    const double c2 = 3.0 * rise - 2.0 * from - to;
    const double c3 = from + to - 2.0 * rise;
    return low.seat_lift + share * (from + share * (c2 + share * c3));
}

/// Halves every interval in which interpolation by lifts alone misses that by lifts and rates. The latter,
/// being of a higher order, then misses the lift itself by far less.
void refine(Points& points, const std::function<std::optional<LiftPoint>(double)>& evaluate) {
    constexpr std::size_t most_points = 600;
    constexpr double narrowest = 1e-4;
    std::vector<std::pair<double, double>> open;
    for (auto point = points.begin(); std::next(point) != points.end(); ++point)
        open.emplace_back(point->first, std::next(point)->first);
    while (!open.empty() && points.size() < most_points) {
        const LiftLaw law = law_of(points);
        const auto hits = [&](double low, double high) {
            // Not half-way alone, where an S about a straight line hits it.
            for (const double share : {0.25, 0.5, 0.75}) {
                const double lift =
                    std::max(foretell(points.at(low), points.at(high), share), law.at(low).lift);
                const double missed = std::abs(law.at(low + share * (high - low)).lift - lift);
                if (missed > lift_accuracy * lift + lift_resolution) return false;
            }
            return true;
        };
        std::vector<std::pair<double, double>> next;
        for (const auto& [low, high] : open) {
            if (high - low < narrowest * high || hits(low, high)) continue;
            const double middle = 0.5 * (low + high);
            const std::optional<LiftPoint> point = evaluate(middle);
            if (!point) continue;
            points.emplace(middle, *point);
            next.emplace_back(low, middle);
            next.emplace_back(middle, high);
        }
        open = std::move(next);
    }
}

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

/// Adds the points of changes, rising in pressure, which tell the rates on both sides.
void add_changes(Path& path, const std::vector<Change>& changes, Points& points) {
    constexpr double together = 1e-7; // changes that no pressure keeps apart
    for (const Change& change : changes) {
        if (change.event.pressure == 0.0) continue; // the rate under the first load is known
        LiftPoint point = *path.point(change.event.pressure);
        LiftPoint& last = std::prev(points.upper_bound(point.pressure))->second;
        if (point.pressure - last.pressure <= together * point.pressure) {
            last.rate_after = point.rate_after;
            continue;
        }
        point.rate_before = path.lift_rate(*path.at(change.before));
        points.emplace(point.pressure, point);
    }
}

LiftCurve follow_shims(const Stack& stack, const FollowOptions& options) {
    Path path(stack, options.theory, plate::Grading{});
    LiftCurve curve;
    curve.theory = options.theory;
    curve.load_area = path.problem().load_area();

    const State* low = path.at(0.0);
    if (low == nullptr) throw SolveError("at rest: " + path.refusal());
    const bool preloaded = stack.seat.height > 0.0 || stack.floating.has_value();
    Points points{{0.0, *path.point(0.0)}};
    std::vector<Change> changes;

    // A stack without preload has no forces at rest and so no contacts to speak of: its events begin at the
    // first pressure, and its rate at rest is that under the first load.
    if (const State* first = path.at(std::min(at_once, options.max_pressure))) {
        if (preloaded) find_changes(path, *low, *first, changes);
        points.begin()->second.rate_after = path.lift_rate(*first);
        low = first;
    }
    double reached = 0.0;
    while (reached < options.max_pressure && !curve.end_reason) {
        const double asked =
            std::min(std::max(first_pressure, reached * pressure_ratio), options.max_pressure);
        if (path.at(asked) != nullptr) {
            reached = asked;
        } else {
            const std::string refused = path.refusal();
            const double end = path.beyond_theory() ? last_borne(path, reached, asked) : reached;
            curve.end_reason = path.refusal();
            if (end == 0.0) throw SolveError("the stack has no lift curve: " + refused);
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
    add_changes(path, changes, points);
    refine(points, [&path](double pressure) { return path.point(pressure); });

    for (const auto& [pressure, point] : points)
        curve.points.push_back(point);
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
    return curve;
}

LiftPoint disc_at(const Stack& stack, double pressure) {
    const Float& coil = *stack.floating;
    const double rate = closing_rate(stack);
    const double rest = std::max(0.0, stack.seat.height); // on the seat where it stands proud of the hub
    const double push = pressure * load_area(stack) - coil.preload;
    const double y = std::clamp(push / rate, rest, std::max(rest, coil.travel));
    const double surplus = push - rate * y; // positive: on the stop
    LiftPoint point;
    point.pressure = pressure;
    point.float_lift = y;
    point.seat_lift = y - stack.seat.height;
    point.edge_lift = y - rest;
    if (surplus > 0.0)
        point.stop_force = surplus;
    else
        (stack.seat.height > 0.0 || coil.rests_on == RestsOn::seat ? point.seat_force : point.hub_force) =
            -surplus;
    return point;
}

LiftCurve follow_disc(const Stack& stack, const FollowOptions& options) {
    const Float& coil = *stack.floating;
    LiftCurve curve;
    curve.theory = options.theory;
    curve.load_area = load_area(stack);
    const double rest = disc_at(stack, 0.0).float_lift;
    const double rate = closing_rate(stack);
    curve.crack_pressure = (coil.preload + rate * rest) / curve.load_area;
    curve.float_start_pressure = curve.crack_pressure;
    const double stop_pressure = (coil.preload + rate * coil.travel) / curve.load_area;
    const double open_pressure = curve.crack_pressure + rate * opened / curve.load_area;
    if (open_pressure < stop_pressure) curve.opening_pressure = open_pressure;

    const auto point_at = [&](double pressure) {
        LiftPoint point = disc_at(stack, pressure);
        const double moving = curve.load_area / rate;
        if (pressure > curve.crack_pressure && pressure <= stop_pressure) point.rate_before = moving;
        if (pressure >= curve.crack_pressure && pressure < stop_pressure) point.rate_after = moving;
        return point;
    };
    Points points;
    for (const double pressure : {0.0, curve.crack_pressure, stop_pressure, options.max_pressure})
        if (pressure <= options.max_pressure) points.emplace(pressure, point_at(pressure));
    refine(points, point_at);
    for (const auto& [pressure, point] : points)
        curve.points.push_back(point);
    if (curve.crack_pressure < options.max_pressure)
        curve.events.push_back({curve.crack_pressure, EventKind::crack, {0, 1}, stack.seat.inner_radius});
    if (stop_pressure < options.max_pressure)
        curve.events.push_back({stop_pressure, EventKind::stop, {1}, coil.stop_radius});
    return curve;
}

} // namespace

LiftCurve follow(const Stack& stack, const FollowOptions& options) {
    return stack.disc ? follow_disc(stack, options) : follow_shims(stack, options);
}

std::vector<LiftPoint> states_at(const Stack& stack, std::span<const double> pressures,
                                 const FollowOptions& options) {
    std::vector<LiftPoint> points;
    if (stack.disc) {
        for (const double pressure : pressures)
            points.push_back(disc_at(stack, pressure));
        return points;
    }
    Path path(stack, options.theory, plate::Grading{});
    path.reach(pressures);
    for (const double pressure : pressures)
        points.push_back(*path.point(pressure));
    return points;
}

} // namespace valve::stack
