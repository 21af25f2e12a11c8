#pragma once

#include <support/catch.hpp>
#include <valve/damper/steady.hpp>

#include <algorithm>
#include <cmath>

// What holds of every solved state, whatever the damper: no oil is lost, no energy comes from nowhere, and a
// void is said to be one. The balances are those of the damper's network.

namespace valve::tests {

/// The chambers and links of a steady point.
inline damper::NetworkState network_state(const damper::SteadyPoint& point) {
    damper::NetworkState state;
    state.speed = point.speed;
    state.pressure = {point.p_C, point.p_R, point.p_S};
    state.piston = point.piston;
    state.base = point.base;
    state.cavitated = point.cavitated;
    if (point.cavitated)
        (*point.cavitated == damper::Chamber::C ? state.void_growth.C : state.void_growth.R) =
            point.void_growth;
    return state;
}

/// A link's drop is that of its chambers, and its parts pass together what it passes; as it stands and solved
/// anew, to `tolerance`.
inline void check_link(const flow::Link& link, const flow::LinkState& state, double from, double to,
                       double tolerance) {
    REQUIRE_THAT(state.dp, WithinAbs(from - to, tolerance * (from + to)));
    REQUIRE_THAT(state.stack_flow + state.bleed_flow + state.leak_flow, WithinRel(state.flow, tolerance));
    if (state.stack_flow != 0.0)
        REQUIRE_THAT(state.port_loss + state.curtain_loss, WithinRel(std::abs(state.dp), tolerance));
    REQUIRE_THAT(link.at_drop(state.dp).flow, WithinRel(state.flow, tolerance));
    REQUIRE_FALSE(state.beyond_curve);
}

/// What walls, flows and voids do to each chamber adds up to nothing, to `tolerance` of what the rod moves.
inline void check_flows(const damper::Model& model, const damper::SteadyPoint& point, double tolerance) {
    const damper::Network& network = model.network();
    const damper::NetworkState state = network_state(point);
    check_link(network.piston(), state.piston, point.p_C, point.p_R, tolerance);
    if (state.base) check_link(*network.base(), *state.base, point.p_C, point.p_S, tolerance);
    REQUIRE(state.base.has_value() == (network.base() != nullptr));
    const double swept = model.annulus_area() * std::abs(point.speed);
    const double displaced = model.rod_area() * std::abs(point.speed);
    REQUIRE_THAT(network.excess(state, damper::Chamber::R), WithinAbs(0.0, tolerance * swept));
    REQUIRE_THAT(network.excess(state, damper::Chamber::C),
                 WithinAbs(0.0, tolerance * std::min(swept, displaced)));
    REQUIRE(point.intake == network.intake(state));
    REQUIRE_THAT(point.intake, WithinAbs(model.rod_area() * point.speed + point.void_growth,
                                         tolerance * std::min(swept, displaced)));
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
    const damper::NetworkPower power = model.network().power(network_state(point));
    const double scale = speed * (model.piston_area() * point.p_C + model.annulus_area() * point.p_R);
    REQUIRE(power.links >= 0.0);
    REQUIRE_THAT(power.in, WithinAbs(power.links + power.reservoir - power.voids, tolerance * scale));

    const double friction = std::copysign(point.reservoir_friction, point.speed);
    const double at_rest = model.rod_area() * (point.p_S - friction) * point.speed; // of the static force
    const double spent =
        power.links + power.reservoir - power.voids - at_rest + spent_in_cups(model, point, travel);
    REQUIRE_THAT(point.damping_force * point.speed, WithinAbs(spent, tolerance * scale));
}

} // namespace valve::tests
