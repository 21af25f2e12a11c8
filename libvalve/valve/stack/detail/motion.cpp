#include <valve/stack/detail/friction.hpp>
#include <valve/stack/detail/inertia.hpp>
#include <valve/stack/detail/load.hpp>
#include <valve/stack/detail/motion.hpp>

#include <vector>

namespace valve::stack {
namespace {

/// Of a state of the path whose seat lifts at `rate` [m/Pa], above zero.
MotionSide side(const Problem& problem, const Inertia& inertia, const State& state, double rate) {
    const Inertia::Sums sums = inertia.of(problem.shapes(state.rate)); // linear in the unknowns
    return {sums.metal / (rate * rate), sums.oil / (rate * rate), problem.load().dot(state.rate) / rate,
            1.0 / rate, friction_pressure(problem, state)};
}

} // namespace

Motion motion_of(Path& path, const Followed& followed, const LiftLaw& law) {
    constexpr double resolved = 1e-9; // lifts that the solver tells apart [m]
    const std::vector<LiftPoint>& curve = followed.curve.points;
    const Inertia inertia(path.problem());
    const auto side_of = [&](const State& state) {
        return side(path.problem(), inertia, state, path.lift_rate(state));
    };
    const auto state_at = [&](double pressure) { return path.with_own_rates(*path.at(pressure)); };
    std::vector<MotionPoint> points;
    bool stops = false;
    for (std::size_t i = 0; i < curve.size() && !stops; ++i) {
        const auto [before, after] = followed.sides[i];
        const double lift = curve[i].pressure <= law.opening_pressure() ? 0.0 : curve[i].seat_lift;
        const bool opens =
            points.empty() && i + 1 < curve.size() && curve[i].pressure >= law.opening_pressure();
        if (points.empty() && !opens) continue;
        if (!points.empty() && !(lift > points.back().lift + resolved)) continue;
        MotionPoint point{lift, curve[i].pressure, {}, {}};
        // Where the lift stands still on one side, it moves as on the other.
        const State above = state_at(after);
        const State below = before == after ? above : state_at(before);
        const bool from_below = !points.empty() && path.lift_rate(below) > 0.0;
        const bool goes_on = path.lift_rate(above) > 0.0;
        if (!from_below && !goes_on) continue;
        point.above = side_of(goes_on ? above : below);
        point.below = from_below && before != after ? side_of(below) : point.above;
        points.push_back(point);
        stops = !goes_on;
    }
    if (points.size() < 2)
        throw SolveError("up to the end of its lift curve the stack does not open, so that nothing moves");
    return {std::move(points), stops};
}

Motion motion_of_disc(const Stack& stack, const LiftCurve& curve, const LiftLaw& law) {
    const double a = stack.disc->outer_radius;
    const MotionSide side{stack.disc->mass, 8.0 / 3.0 * a * a * a, curve.load_area,
                          closing_rate(stack) / curve.load_area};
    std::vector<MotionPoint> points;
    const double rest = stack.floating->travel - stack.seat.height;
    for (const LiftPoint& point : curve.points)
        if (point.pressure >= law.opening_pressure() &&
            (points.empty() || point.seat_lift > points.back().lift))
            points.push_back({point.seat_lift, point.pressure, side, side});
    if (points.size() < 2)
        throw SolveError("up to the end of its lift curve the disc does not open, so that nothing moves");
    points.front().lift = 0.0;
    const bool stops = points.back().lift >= (1.0 - 1e-12) * rest;
    return {std::move(points), stops};
}

} // namespace valve::stack
