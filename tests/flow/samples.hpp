#pragma once

#include <valve/flow/oil.hpp>
#include <valve/flow/spec.hpp>
#include <valve/stack/lift_law.hpp>

// Invented parts that the tests of flow and damper share.

namespace valve::samples {

inline flow::Oil oil() {
    flow::Oil oil;
    oil.density_15 = 850.0;
    oil.viscosity = {{313.15, 16e-6}, {373.15, 3.9e-6}};
    return oil;
}

inline flow::OilState oil_state() {
    return flow::state_of(oil());
}

/// Four ports of 13 mm² under a clamped stack of 24 mm.
inline flow::Valve valve() {
    flow::Valve valve;
    valve.ports = {.count = 4, .area_each = 13e-6};
    valve.stack.shims = {{.outer_radius = 12e-3, .thickness = 0.15e-3, .material = {}}};
    valve.stack.clamp_radius = 6e-3;
    valve.stack.zone = {.inner_radius = 7e-3, .outer_radius = 11e-3};
    valve.stack.seat = {.inner_radius = 11e-3, .outer_radius = 11.5e-3, .height = 0.0};
    return valve;
}

/// Lifts from 0.5 bar on, stiffer as it rises, up to 100 bar.
inline stack::LiftLaw lift() {
    return {{0.0, 0.5e5, 0.6e5, 1e5, 2e5, 5e5, 20e5, 100e5},
            {0.0, 0.0, 0.01e-3, 0.05e-3, 0.13e-3, 0.3e-3, 0.7e-3, 1.5e-3},
            2.4e-4};
}

/// Opens wide at next to no pressure.
inline stack::LiftLaw wide_open() {
    return {{0.0, 1e-6, 200e5}, {0.0, 50e-3, 50.001e-3}, 2.4e-4};
}

/// Never lifts.
inline stack::LiftLaw stuck() {
    return {{0.0, 200e5}, {0.0, 0.0}, 2.4e-4};
}

} // namespace valve::samples
