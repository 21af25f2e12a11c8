#include <valve/core/detail/infinity.hpp>
#include <valve/core/detail/parallel.hpp>
#include <valve/core/findings.hpp>
#include <valve/damper/check.hpp>
#include <valve/damper/steady.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>
#include <string>
#include <utility>

namespace valve::damper {

namespace {

std::string where(double speed, double travel) {
    return fmt::format("at {:g} m/s and {:.4g} mm travel: ", speed, travel * 1e3);
}

std::string litres_per_minute(double flow) {
    return fmt::format("{:.4g} l/min", flow * 60e3);
}

/// Why `flow` is refused where it lies beyond the end of the lift curve and `most` is not reached before;
/// else empty.
std::string beyond_curve(const flow::Link& link, double flow, double most) {
    const flow::Direction direction = flow::direction_of(flow);
    const flow::LinkState end = link.end(direction);
    if (std::abs(flow) <= std::abs(end.flow) || std::abs(end.dp) >= most) return {};
    return fmt::format("{}: {} lie beyond the end of its lift curve, which passes {} at a pressure drop of "
                       "{:.4g} bar: ask for less flow or give it larger ports, a softer stack or a larger "
                       "bleed",
                       link.name(direction), litres_per_minute(std::abs(flow)),
                       litres_per_minute(std::abs(end.flow)), std::abs(end.dp) / 1e5);
}

/// Why a state that rests on more than the lift curves say is refused; empty where it does not.
std::string beyond_curves(const Model& model, const NetworkState& state) {
    if (!state.piston.beyond_curve && !(state.base && state.base->beyond_curve)) return {};
    const double p_S = state.pressure.S;
    const double p_cav = model.oil().cavitation_pressure;
    const double base_flow = model.rod_area() * state.speed;
    const double piston_flow = model.annulus_area() * state.speed;
    const bool in = state.speed > 0.0;
    std::string why;
    if (model.base()) why = beyond_curve(*model.base(), base_flow, in ? infinity : p_S - p_cav);
    if (!why.empty()) return why;
    const double p_C = in && model.base() ? p_S + model.base()->at_flow(base_flow).dp : p_S;
    why = beyond_curve(model.piston(), piston_flow, in ? p_C - p_cav : infinity);
    if (!why.empty() || !state.cavitated) return why;
    return fmt::format("with the {} empty, {} lie beyond the end of a lift curve: ask for less speed or give "
                       "the valves larger ports, softer stacks or larger bleeds",
                       in ? "rod side" : "chamber behind the piston",
                       litres_per_minute(model.piston_area() * std::abs(state.speed)));
}

/// What `solve` returns; its SolveErrors with speed and travel.
template <class Solve>
auto at_place(double speed, double travel, const Solve& solve) {
    try {
        return solve();
    } catch (const SolveError& error) {
        throw SolveError(where(speed, travel) + error.what());
    }
}

struct ReservoirPressure {
    double at_rest = 0.0; // p_S0 [Pa]
    double moving = 0.0;  // p_S, with the friction of its piston [Pa]
};

ReservoirPressure reservoir_pressure(const Model& model, double speed, double travel) {
    const double at_rest = model.reservoir().pressure(travel, model.rod_area() * travel);
    const double sign = speed > 0.0 ? 1.0 : speed < 0.0 ? -1.0 : 0.0;
    const double moving = at_rest + sign * model.reservoir().friction_pressure();
    if (!(moving > model.oil().cavitation_pressure))
        throw SolveError(
            fmt::format("the reservoir itself falls to {:.3g} bar absolute: give it more pressure or "
                        "preload, or less friction",
                        moving / 1e5));
    return {at_rest, moving};
}

/// The plugs' forces, each in its own part of the travel.
void add_end_effects(const Model& model, double travel, SteadyPoint& point) {
    for (const Stroke stroke : {Stroke::compression, Stroke::rebound}) {
        const EndCupLaw* cup = model.end_cup(stroke);
        if (!cup) continue;
        const double headroom = stroke == Stroke::compression ? point.headroom_C : point.headroom_R;
        const EndCupLaw::Effect effect =
            cup->effect(stroke, point.speed, model.end_depth(stroke, travel), headroom);
        point.end_force = point.end_force.value_or(0.0) + effect.force;
        point.end_pressure = point.end_pressure.value_or(0.0) + effect.pressure;
        point.is_cup_empty = point.is_cup_empty || effect.is_empty;
        point.force += effect.force;
        point.damping_force = point.force - point.static_force;
    }
}

/// Throws SolveError where a chamber holds more than any damper can.
void refuse_beyond_metal(const SteadyPoint& point) {
    constexpr double most = EndCupLaw::max_pressure;
    for (const auto& [name, pressure] :
         {std::pair{"C", point.p_C}, std::pair{"R", point.p_R}, std::pair{"S", point.p_S}})
        if (pressure > most)
            throw SolveError(
                fmt::format("chamber {} would hold {:.4g} bar, and nothing is computed above {:.4g} "
                            "bar: ask for less speed or give the valves larger ports or bleeds",
                            name, pressure / 1e5, most / 1e5));
}

SteadyPoint solve_point(const Model& model, double speed, double travel, RodInto rod_into) {
    const ReservoirPressure reservoir = reservoir_pressure(model, speed, travel);
    const double p_cav = model.oil().cavitation_pressure;
    const NetworkState state = model.network().equilibrium(speed, reservoir.moving, p_cav);
    if (const std::string why = beyond_curves(model, state); !why.empty()) throw SolveError(why);
    const double p_ext = model.external_pressure(travel, rod_into);

    SteadyPoint point;
    point.speed = speed;
    point.force = model.network().force(state.pressure) - model.rod_area() * p_ext;
    point.static_force = model.rod_area() * (reservoir.at_rest - p_ext);
    point.damping_force = point.force - point.static_force;
    point.p_C = state.pressure.C;
    point.p_R = state.pressure.R;
    point.p_S = state.pressure.S;
    point.dp_base = std::abs(state.dp_base());
    point.dp_piston = std::abs(state.piston.dp);
    point.void_growth = state.void_growth.C + state.void_growth.R;
    point.cavitated = state.cavitated;
    point.headroom_C = state.pressure.C - p_cav;
    point.headroom_R = state.pressure.R - p_cav;
    point.reservoir_friction = model.reservoir().friction_pressure();
    point.piston = state.piston;
    point.base = state.base;
    point.intake = model.network().intake(state);
    if (speed < 0.0) point.refill_deficit = point.dp_base;
    if (speed > 0.0) {
        point.balance_margin = point.dp_base - point.dp_piston;
        const double base = model.rod_area() * point.dp_base;
        const double piston = model.annulus_area() * point.dp_piston;
        if (base + piston > 0.0) point.share_base = base / (base + piston);
    }
    add_end_effects(model, travel, point);
    refuse_beyond_metal(point);
    return point;
}

/// Solves the fastest points of both strokes at the same time, for what stacks come to that are not round.
void follow_stacks(const Model& model, const std::vector<double>& speeds, double travel) {
    if (!model.bends() || speeds.empty()) return;
    const auto [slowest, fastest] = std::minmax_element(speeds.begin(), speeds.end());
    const std::array<double, 2> ends{*slowest, *fastest};
    for_each_index(ends.size(), [&](std::size_t i) {
        try {
            network_state(model, ends[i], travel);
        } catch (const SolveError&) { // told where it belongs
        }
    });
}

std::vector<double> default_speeds() {
    const std::vector<double> rising{0.02, 0.05, 0.1, 0.15, 0.2, 0.3, 0.4, 0.5, 0.75,
                                     1.0,  1.25, 1.5, 2.0,  2.5, 3.0, 3.5, 4.0};
    std::vector<double> speeds;
    for (auto speed = rising.rbegin(); speed != rising.rend(); ++speed)
        speeds.push_back(-*speed);
    speeds.insert(speeds.end(), rising.begin(), rising.end());
    return speeds;
}

} // namespace

SteadyPoint steady_point(const Model& model, double speed, double travel, RodInto rod_into) {
    if (!std::isfinite(speed)) throw std::invalid_argument("steady_point: speed is not a number");
    return at_place(speed, travel, [&] { return solve_point(model, speed, travel, rod_into); });
}

NetworkState network_state(const Model& model, double speed, double travel) {
    return at_place(speed, travel, [&] {
        return model.network().equilibrium(speed, reservoir_pressure(model, speed, travel).moving,
                                           model.oil().cavitation_pressure);
    });
}

std::string refusal(const Model& model, const NetworkState& state, double travel) {
    const std::string why = beyond_curves(model, state);
    return why.empty() ? why : where(state.speed, travel) + why;
}

OnsetSearch onset_search(const Model& model, const CurveOptions& options) {
    refuse_errors<InputError>(check(options), "");
    const double whole = model.setup().cartridge.travel;
    const double travel = options.travel.value_or(0.5 * whole);
    if (!(travel >= 0.0 && travel <= whole))
        throw InputError(fmt::format("a travel of {:.4g} mm lies outside the damper's, 0 to {:.4g} mm",
                                     travel * 1e3, whole * 1e3));
    return {model, travel, options.top_speed};
}

Curve steady_curve(const Model& model, const CurveOptions& options) {
    OnsetSearch search = onset_search(model, options);
    return steady_curve(search, options.speeds, options.rod_into);
}

Curve steady_curve(OnsetSearch& search, const std::vector<double>& speeds, RodInto rod_into) {
    const Model& model = search.model();
    Curve curve;
    curve.theory = model.theory();
    curve.bends = model.bends();
    curve.travel = search.travel();
    const std::vector<double> asked = speeds.empty() ? default_speeds() : speeds;
    follow_stacks(model, asked, curve.travel);
    for (const double speed : asked) {
        try {
            curve.points.push_back(steady_point(model, speed, curve.travel, rod_into));
        } catch (const SolveError& error) {
            SteadyPoint point;
            point.speed = speed;
            point.error = error.what();
            curve.points.push_back(std::move(point));
        }
    }
    curve.void_onset = find_void_onset(search);
    curve.void_onset_near_extension =
        find_void_onset(model, near_extension * model.setup().cartridge.travel, search.top_speed());
    return curve;
}

} // namespace valve::damper
