#pragma once

#include <valve/stack/spec.hpp>

namespace valve::stack::testing {

/// One plate that floats on a soft coil and rests on its hub, its edge free to cone.
inline Stack check_plate() {
    Stack stack;
    stack.shims = {{13e-3, 0.2e-3, {}}};
    stack.clamp_radius = stack.bore_radius = 9e-3;
    stack.zone = {9e-3, 12e-3};
    stack.seat = {12e-3, 12.5e-3, 0.0};
    stack.edge = InnerEdge::free;
    stack.floating = Float{.travel = 1.2e-3,
                           .spring_rate = 800.0,
                           .preload = 2.0,
                           .ring_radius = 9e-3,
                           .spring_radius = 9e-3,
                           .stop_radius = 9e-3,
                           .rests_on = RestsOn::hub};
    return stack;
}

} // namespace valve::stack::testing
