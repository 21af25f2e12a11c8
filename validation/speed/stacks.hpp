#pragma once

#include <valve/stack/spec.hpp>

namespace valve::validation::speed {

/// Clamp 6 mm, pressure from 8 mm to a knife-edge seat at 14.5 mm, flush with the hub.
stack::Stack bare_stack();

/// Twelve shims in two stages: six equal ones, a gap of 0.1 mm, five that taper.
stack::Stack twelve_shims();

/// Five shims in two stages: the one called two-stage in validation/solid.
stack::Stack five_shims();

/// Half of the shims equal, the rest tapering to the clamp; `count` of them, at least 2.
stack::Stack tapering(int count);

} // namespace valve::validation::speed
