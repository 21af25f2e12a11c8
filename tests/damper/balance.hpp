#pragma once

#include <support/catch.hpp>
#include <valve/damper/steady.hpp>

#include <cmath>

// What holds of every solved state, whatever the damper: no oil is lost, no energy comes from nowhere, and a
// void is said to be one.

namespace valve::tests {

/// What flows through piston and base at a state [m³/s].
struct Flows {
    double piston = 0.0;
    double base = 0.0; ///< the rod's where there is no base valve: C and S are one
};

inline Flows flows(const damper::Model& model, const damper::SteadyPoint& point) {
    const damper::Stroke stroke = point.speed > 0.0 ? damper::Stroke::compression : damper::Stroke::rebound;
    // dp_* and not differences of pressures, which would cost the digits of a small drop
    Flows flows{model.piston(stroke).at_pressure(point.dp_piston).flow, 0.0};
    const double in_R = point.cavitated == damper::Chamber::R ? point.void_growth : 0.0;
    flows.base = model.base(stroke) != nullptr ? model.base(stroke)->at_pressure(point.dp_base).flow
                                               : model.rod_area() * std::abs(point.speed) + in_R;
    return flows;
}

/// What the rod displaces is what flows and what the void takes, to `tolerance` of it.
inline void check_flows(const damper::Model& model, const damper::SteadyPoint& point, double tolerance) {
    const double speed = std::abs(point.speed);
    const double in_R = point.cavitated == damper::Chamber::R ? point.void_growth : 0.0;
    const double in_C = point.cavitated == damper::Chamber::C ? point.void_growth : 0.0;
    const Flows through = flows(model, point);
    REQUIRE_THAT(through.piston + in_R, WithinRel(model.annulus_area() * speed, tolerance));
    REQUIRE_THAT(through.base - in_R + in_C, WithinRel(model.rod_area() * speed, tolerance));
}

/// Pressures are those that a liquid can have, and a state says where it is empty.
inline void check_pressures(const damper::Model& model, const damper::SteadyPoint& point) {
    const double p_cav = model.oil().cavitation_pressure;
    REQUIRE(point.p_C >= p_cav);
    REQUIRE(point.p_R >= p_cav);
    REQUIRE(point.p_S > p_cav);
    REQUIRE((point.cavitated == damper::Chamber::C) == (point.headroom_C <= 0.0));
    REQUIRE((point.cavitated == damper::Chamber::R) == (point.headroom_R <= 0.0));
    REQUIRE(point.void_growth >= 0.0);
    if (!point.cavitated) REQUIRE(point.void_growth == 0.0);
    REQUIRE(point.dp_base >= 0.0);
    REQUIRE(point.dp_piston >= 0.0);
}

/// What the plug in a cup turns to heat [W]: the pressure, outwards on the oil that it displaces.
inline double spent_in_cups(const damper::Model& model, const damper::SteadyPoint& point, double travel) {
    double spent = 0.0;
    for (const damper::Stroke stroke : {damper::Stroke::compression, damper::Stroke::rebound}) {
        const damper::EndCupLaw* cup = model.end_cup(stroke);
        if (cup == nullptr || !cup->acts(model.end_depth(stroke, travel))) continue;
        spent +=
            std::abs(point.end_pressure.value() * cup->area(model.end_depth(stroke, travel)) * point.speed);
    }
    return spent;
}

/// The damper takes energy out, and all of it has a place: what valves, cups and the reservoir's seal turn to
/// heat, and what lifts oil out of a void into the reservoir. To `tolerance` of the powers of the pressures.
inline void check_energy(const damper::Model& model, const damper::SteadyPoint& point, double travel,
                         double tolerance) {
    REQUIRE(point.damping_force * point.speed >= 0.0);
    const double speed = std::abs(point.speed);
    const Flows through = flows(model, point);
    const double spent = through.piston * point.dp_piston + through.base * point.dp_base +
                         model.rod_area() * speed * point.reservoir_friction +
                         point.void_growth * (point.p_S - model.oil().cavitation_pressure) +
                         spent_in_cups(model, point, travel);
    const double scale = speed * (model.piston_area() * point.p_C + model.annulus_area() * point.p_R);
    REQUIRE_THAT(point.damping_force * point.speed, WithinAbs(spent, tolerance * scale));
}

} // namespace valve::tests
