#include <valve/damper/steady.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace valve::damper {

namespace {

using flow::Passage;

/// Pressures of the chambers and what it takes to say how they came about.
struct Chambers {
    double p_C = 0.0;
    double p_R = 0.0;
    double dp_base = 0.0;
    double dp_piston = 0.0;
    double void_growth = 0.0; // [m³/s]
    std::optional<Chamber> cavitated = std::nullopt;
};

/// Pressure drop that `flow` needs, or `most` where it needs that much or more. A flow beyond the end of the
/// lift curve has an answer, too, where the end needs more than `most` already.
double drop_up_to(const Passage& passage, double flow, double most) {
    if (flow > passage.end().flow && passage.end().dp >= most) return most;
    return std::min(passage.at_flow(flow).dp, most);
}

/// Pressure drop that `flow` needs, or the largest that the passage is known for.
double drop_or_end(const Passage& passage, double flow) {
    return flow > passage.end().flow ? passage.end().dp : passage.at_flow(flow).dp;
}

/// R held at p_cav in compression: Δp_base at which piston and base together pass A_p v; at least `least`,
/// which the base needs for the rod's share alone.
double base_drop_with_void(const Model& model, double speed, double p_S, double least) {
    const Passage& piston = model.piston(Stroke::compression);
    const Passage* base = model.base(Stroke::compression);
    if (!base) return 0.0;

    const double above_void = p_S - model.oil().cavitation_pressure;
    const double total = model.piston_area() * speed;
    const auto excess = [&](double dp_base) {
        const flow::PassageState through_base = base->at_pressure(std::min(dp_base, base->end().dp));
        const flow::PassageState through_piston =
            piston.at_pressure(std::min(above_void + dp_base, piston.end().dp));
        return ValueSlope{through_base.flow + through_piston.flow - total,
                          through_base.flow_slope + through_piston.flow_slope};
    };
    const double most =
        std::min(drop_or_end(piston, model.annulus_area() * speed) - above_void, drop_or_end(*base, total));
    constexpr double rounding = 1e-12;
    const double at_most = excess(most).value;
    if (at_most < -rounding * total)
        throw SolveError(
            fmt::format("with the rod side empty, {:.4g} l/min lie beyond the end of a lift curve: ask for "
                        "less speed or give the valves larger ports, softer stacks or larger bleeds",
                        total * 60e3));
    if (at_most <= 0.0) return most;
    const Root root = find_root(excess, least, most, least);
    if (!root.converged) throw SolveError("no state with the rod side empty was found");
    return root.x;
}

Chambers compress(const Model& model, double speed, double p_S) {
    const Passage& piston = model.piston(Stroke::compression);
    const Passage* base = model.base(Stroke::compression);
    const double p_cav = model.oil().cavitation_pressure;
    const double piston_flow = model.annulus_area() * speed;

    Chambers result;
    result.dp_base = base ? base->at_flow(model.rod_area() * speed).dp : 0.0;
    result.p_C = p_S + result.dp_base;
    result.dp_piston = drop_up_to(piston, piston_flow, result.p_C - p_cav);
    if (result.dp_piston < result.p_C - p_cav) {
        result.p_R = result.p_C - result.dp_piston;
        return result;
    }
    result.cavitated = Chamber::R;
    result.p_R = p_cav;
    result.dp_base = base_drop_with_void(model, speed, p_S, result.dp_base);
    result.p_C = p_S + result.dp_base;
    result.dp_piston = result.p_C - p_cav;
    result.void_growth =
        std::max(0.0, piston_flow - piston.at_pressure(std::min(result.dp_piston, piston.end().dp)).flow);
    return result;
}

Chambers extend(const Model& model, double speed, double p_S) {
    const Passage* base = model.base(Stroke::rebound);
    const double p_cav = model.oil().cavitation_pressure;
    const double refill_flow = model.rod_area() * speed;

    Chambers result;
    result.p_C = p_S;
    if (base) {
        result.dp_base = drop_up_to(*base, refill_flow, p_S - p_cav);
        result.p_C = p_S - result.dp_base;
        if (result.dp_base >= p_S - p_cav) {
            result.cavitated = Chamber::C;
            result.p_C = p_cav;
            result.void_growth = std::max(0.0, refill_flow - base->at_pressure(result.dp_base).flow);
        }
    }
    result.dp_piston = model.piston(Stroke::rebound).at_flow(model.annulus_area() * speed).dp;
    result.p_R = result.p_C + result.dp_piston;
    return result;
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

Chambers chambers(const Model& model, double speed, double p_S) {
    if (speed > 0.0) return compress(model, speed, p_S);
    if (speed < 0.0) return extend(model, -speed, p_S);
    return {.p_C = p_S, .p_R = p_S};
}

/// What a plug does in its cup, outwards on the rod.
struct EndEffect {
    double force = 0.0;
    double pressure = 0.0; // over the chamber around it [Pa]
};

/// At the end of `stroke`, `depth` of the plug in its cup, with `headroom` of the chamber around it above a
/// void, below which the cup's pressure cannot fall either.
EndEffect end_effect(const EndCupLaw& cup, Stroke stroke, double speed, double depth, double headroom) {
    const double outwards = stroke == Stroke::compression ? 1.0 : -1.0; // on a plug that is pressed upon
    const double inward_speed = outwards * speed;
    double pressure = 0.0;
    if (inward_speed > 0.0) {
        pressure = cup.pressure(depth, inward_speed);
    } else if (!cup.leaves_freely()) {
        pressure = -cup.suction(depth, -inward_speed, headroom);
    }
    return {outwards * pressure * cup.area(depth), pressure};
}

/// The plugs' forces, each in its own part of the travel.
void add_end_effects(const Model& model, double travel, SteadyPoint& point) {
    for (const Stroke stroke : {Stroke::compression, Stroke::rebound}) {
        const EndCupLaw* cup = model.end_cup(stroke);
        if (!cup) continue;
        const double headroom = stroke == Stroke::compression ? point.headroom_C : point.headroom_R;
        const EndEffect effect =
            end_effect(*cup, stroke, point.speed, model.end_depth(stroke, travel), headroom);
        point.end_force = point.end_force.value_or(0.0) + effect.force;
        point.end_pressure = point.end_pressure.value_or(0.0) + effect.pressure;
        point.force += effect.force;
        point.damping_force = point.force - point.static_force;
    }
}

SteadyPoint solve_point(const Model& model, double speed, double travel, RodInto rod_into) {
    const ReservoirPressure reservoir = reservoir_pressure(model, speed, travel);
    const Chambers state = chambers(model, speed, reservoir.moving);
    const double p_ext = model.external_pressure(travel, rod_into);
    const double p_cav = model.oil().cavitation_pressure;

    SteadyPoint point;
    point.speed = speed;
    point.force =
        model.piston_area() * state.p_C - model.annulus_area() * state.p_R - model.rod_area() * p_ext;
    point.static_force = model.rod_area() * (reservoir.at_rest - p_ext);
    point.damping_force = point.force - point.static_force;
    point.p_C = state.p_C;
    point.p_R = state.p_R;
    point.p_S = reservoir.moving;
    point.dp_base = state.dp_base;
    point.dp_piston = state.dp_piston;
    point.void_growth = state.void_growth;
    point.cavitated = state.cavitated;
    point.headroom_C = state.p_C - p_cav;
    point.headroom_R = state.p_R - p_cav;
    point.reservoir_friction = model.reservoir().friction_pressure();
    if (speed < 0.0) point.refill_deficit = state.dp_base;
    if (speed > 0.0) {
        point.balance_margin = state.dp_base - state.dp_piston;
        const double base = model.rod_area() * state.dp_base;
        const double piston = model.annulus_area() * state.dp_piston;
        if (base + piston > 0.0) point.share_base = base / (base + piston);
    }
    add_end_effects(model, travel, point);
    return point;
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
    try {
        return solve_point(model, speed, travel, rod_into);
    } catch (const SolveError& error) {
        throw SolveError(
            fmt::format("at {:g} m/s and {:.4g} mm travel: {}", speed, travel * 1e3, error.what()));
    }
}

Curve steady_curve(const Model& model, const CurveOptions& options) {
    const double whole = model.setup().cartridge.travel;
    Curve curve;
    curve.theory = model.theory();
    curve.travel = options.travel.value_or(0.5 * whole);
    if (!(curve.travel >= 0.0 && curve.travel <= whole))
        throw InputError(fmt::format("a travel of {:.4g} mm lies outside the damper's, 0 to {:.4g} mm",
                                     curve.travel * 1e3, whole * 1e3));
    for (const double speed : options.speeds.empty() ? default_speeds() : options.speeds) {
        try {
            curve.points.push_back(steady_point(model, speed, curve.travel, options.rod_into));
        } catch (const SolveError& error) {
            SteadyPoint point;
            point.speed = speed;
            point.error = error.what();
            curve.points.push_back(std::move(point));
        }
    }
    curve.void_onset = find_void_onset(model, curve.travel, options.top_speed);
    curve.void_onset_near_extension = find_void_onset(model, 0.1 * whole, options.top_speed);
    return curve;
}

} // namespace valve::damper
