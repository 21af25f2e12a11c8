#pragma once

#include <damper/samples.hpp>
#include <valve/motion/cycle.hpp>
#include <valve/stack/solution.hpp>

#include <numbers>

namespace valve::samples {

/// π/3 [R² + R r + r²] of a load that falls to zero from r to R, more by the ring from the zone on: A_load.
inline double load_area(const stack::Stack& stack) {
    const double inner = stack.seat.inner_radius;
    const double outer = stack.seat.outer_radius;
    const double cone = (outer * outer + outer * inner + inner * inner) / 3.0;
    const double zone = stack.zone.inner_radius;
    return std::numbers::pi * (cone - zone * zone);
}

inline void make_disc(flow::Valve& valve, double mass, double rate, double preload, double travel) {
    valve.stack.shims.clear();
    valve.stack.disc = stack::Disc{.outer_radius = valve.stack.seat.outer_radius + 0.5e-3, .mass = mass};
    valve.stack.floating = stack::Float{.travel = travel, .spring_rate = rate, .preload = preload};
    const double at = valve.stack.zone.inner_radius;
    valve.stack.clamp_radius = valve.stack.bore_radius = at;
    valve.stack.floating->ring_radius = valve.stack.floating->spring_radius =
        valve.stack.floating->stop_radius = at;
    valve.stack.edge = stack::InnerEdge::free;
}

/// A damper whose stacks are discs on coils, the oil of 10 mm of ports before them: a light check, a
/// mid-valve that meets its stop.
inline damper::SetUp with_discs(damper::SetUp setup) {
    using damper::Place;
    auto& valves = setup.valves;
    if (valves[Place::base_compression])
        make_disc(*valves[Place::base_compression], 1.5e-3, 40e3, 25.0, 0.8e-3);
    if (valves[Place::base_refill]) make_disc(*valves[Place::base_refill], 0.8e-3, 250.0, 0.25, 1.5e-3);
    make_disc(*valves[Place::piston_compression], 0.7e-3, 6e3, 2.0, 0.4e-3);
    make_disc(*valves[Place::piston_rebound], 1e-3, 60e3, 20.0, 0.5e-3);
    for (auto& valve : valves.at_place)
        if (valve) valve->ports.length = 10e-3;
    return setup;
}

/// The oil in its ports follows at once.
inline damper::SetUp without_inertia(damper::SetUp setup) {
    for (auto& valve : setup.valves.at_place)
        if (valve) valve->ports.length = 0.0;
    return setup;
}

/// The lift laws of a damper with discs.
inline damper::LiftLaws disc_laws(const damper::SetUp& setup) {
    damper::LiftLaws laws;
    for (const damper::Place place : damper::all_places) {
        const auto& valve = setup.valves[place];
        if (!valve) continue;
        laws.at_place.at(static_cast<std::size_t>(place)) = stack::Solution(valve->stack).law();
    }
    return laws;
}

/// A disc's own motion: p_stat = (F_0 + k y)/A, its mass, its stop.
inline motion::Profile disc_profile(const stack::Stack& stack, double area) {
    const stack::Float& coil = *stack.floating;
    const motion::ProfileSide side{area, stack.disc->mass};
    return motion::Profile(
        {{0.0, coil.preload / area, side, side},
         {coil.travel, (coil.preload + coil.spring_rate * coil.travel) / area, side, side}},
        coil.travel);
}

inline motion::MovingValves moving_discs(const damper::Model& model) {
    motion::MovingValves valves;
    for (const damper::Place place : damper::all_places) {
        const auto& valve = model.setup().valves[place];
        if (!valve) continue;
        const double area = load_area(valve->stack);
        valves[place].emplace(*valve, disc_profile(valve->stack, area), area, model.oil());
    }
    return valves;
}

} // namespace valve::samples
