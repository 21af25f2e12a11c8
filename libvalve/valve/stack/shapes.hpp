#pragma once

#include <valve/stack/lift_curve.hpp>

#include <vector>

namespace valve::stack {

/// The mid-surface of one bending shim.
struct ShimShape {
    int shim = 0;               ///< in the stack's list, from 1
    std::vector<double> radius; ///< rising, from the inner edge to the shim's own [m]
    std::vector<double> lift;   ///< there, above where the shim lies flat in the stack on its hub [m]
};

/// A stack under one pressure, and how its shims lie.
struct StackShape {
    LiftPoint state;
    std::vector<ShimShape> shims; ///< those that bend, from the piston face; none of a rigid disc
};

} // namespace valve::stack
