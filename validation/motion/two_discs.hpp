#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/motion/cycle.hpp>

namespace valve::validation {

/// The monotube of two_discs.yaml: a disc on a coil for each way, a hole beside them, gas without friction.
struct TwoDiscs {
    damper::Model model;
    motion::MovingValves valves;
};

/// With ports of `length` [m].
TwoDiscs two_discs(double length);

/// What moves its rod: 50 mm at 5 Hz about mid travel.
motion::Input two_discs_input();

} // namespace valve::validation
