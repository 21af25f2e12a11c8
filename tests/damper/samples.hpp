#pragma once

#include <flow/samples.hpp>
#include <valve/damper/model.hpp>

#include <numbers>

// An invented closed cartridge of 25 mm, and made-up lift laws for its stacks.

namespace valve::samples {

inline flow::Valve valve_of(int ports, double area_each, double seat_diameter, double shim_diameter) {
    flow::Valve valve;
    valve.ports = {.count = ports, .area_each = area_each};
    valve.stack.shims = {{.outer_radius = shim_diameter / 2.0, .thickness = 0.15e-3, .material = {}}};
    valve.stack.clamp_radius = 4.5e-3;
    valve.stack.zone = {.inner_radius = 5.5e-3, .outer_radius = seat_diameter / 2.0};
    valve.stack.seat = {
        .inner_radius = seat_diameter / 2.0, .outer_radius = seat_diameter / 2.0 + 0.5e-3, .height = 0.0};
    return valve;
}

inline flow::Needle needle(double clicks) {
    return {.seat_diameter = 2.5e-3,
            .cone_angle = std::numbers::pi / 9.0,
            .per_click = 0.06e-3,
            .clicks = clicks,
            .range = 24};
}

inline damper::SetUp fork() {
    using damper::Place;
    damper::SetUp setup;
    setup.oil = oil();
    setup.cartridge = {.layout = damper::Layout::closed_cartridge,
                       .bore = 25e-3,
                       .rod = 12e-3,
                       .travel = 0.3,
                       .ring_leak = damper::RingLeak{.gap = 0.02e-3, .length = 8e-3}};
    setup.reservoir = {.kind = damper::ReservoirKind::spring_piston,
                       .diameter = 36e-3,
                       .spring_rate = 1800.0,
                       .preload = 40.0,
                       .friction = 18.0,
                       .stroke = 45e-3};
    setup.valves[Place::base_compression] = valve_of(4, 13e-6, 22e-3, 24e-3);
    setup.valves[Place::base_refill] = valve_of(4, 24e-6, 24e-3, 26e-3);
    setup.valves[Place::piston_compression] = valve_of(3, 16e-6, 19e-3, 21e-3);
    setup.valves[Place::piston_rebound] = valve_of(4, 11e-6, 19e-3, 21e-3);
    setup.valves[Place::base_compression]->bleed = needle(10);
    setup.valves[Place::piston_rebound]->bleed = needle(10);
    setup.support = damper::Support{};
    setup.support->leg = damper::Leg{.chamber_volume = 1050e-6, .oil_volume = 365e-6, .diameter = 50e-3};
    return setup;
}

inline damper::SetUp shock() {
    using damper::Place;
    damper::SetUp setup = fork();
    setup.support.reset();
    setup.cartridge.layout = damper::Layout::monotube;
    setup.cartridge.bore = 46e-3;
    setup.cartridge.rod = 16e-3;
    setup.cartridge.travel = 0.1;
    setup.reservoir = {.kind = damper::ReservoirKind::gas_piston,
                       .diameter = 46e-3,
                       .friction = 20.0,
                       .gas_volume = 60e-6,
                       .gas_pressure = 11e5};
    setup.valves[Place::base_compression].reset();
    setup.valves[Place::base_refill].reset();
    return setup;
}

/// The same lift law for every valve there is.
inline damper::LiftLaws laws_of(const damper::SetUp& setup, const stack::LiftLaw& law) {
    damper::LiftLaws laws;
    for (const damper::Place place : damper::all_places)
        if (setup.valves[place]) laws.at_place.at(static_cast<std::size_t>(place)) = law;
    return laws;
}

/// Stacks that bend, a check that is soft.
inline damper::LiftLaws bending_laws(const damper::SetUp& setup) {
    damper::LiftLaws laws = laws_of(setup, lift());
    auto& refill = laws.at_place.at(static_cast<std::size_t>(damper::Place::base_refill));
    if (refill)
        refill =
            stack::LiftLaw({0.0, 0.05e5, 0.1e5, 0.3e5, 100e5}, {0.0, 0.0, 0.4e-3, 1.2e-3, 1.3e-3}, 3.5e-4);
    return laws;
}

} // namespace valve::samples
