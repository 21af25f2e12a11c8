#include <valve/stack/detail/follow.hpp>
#include <valve/stack/detail/load.hpp>
#include <valve/stack/detail/modes.hpp>
#include <valve/stack/detail/refine.hpp>
#include <valve/stack/detail/rigid_disc.hpp>

#include <algorithm>

namespace valve::stack {

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

Modes modes_of_disc(const Stack& stack, const ModesOptions& options) {
    Modes result;
    if (options.pressure) {
        const LiftPoint point = disc_at(stack, *options.pressure);
        result.on_seat = point.seat_force > 0.0;
        result.on_hub = point.hub_force > 0.0;
        result.on_stop = point.stop_force > 0.0;
    }
    if (result.on_seat || result.on_hub || result.on_stop) return result;
    const double a = stack.disc->outer_radius;
    const double mass = stack.disc->mass;
    const double rate = closing_rate(stack);
    Mode bounce{0, 0, frequency(rate / mass), std::nullopt};
    if (options.oil_density > 0.0)
        bounce.frequency_oil = frequency(rate / (mass + 8.0 / 3.0 * options.oil_density * a * a * a));
    result.modes.push_back(bounce);
    return result;
}

} // namespace valve::stack
