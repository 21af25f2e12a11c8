#pragma once

#include <valve/stack/follow.hpp>

#include <span>
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

/// The shapes at chosen pressures [Pa], in the order asked. Throws as states_at().
std::vector<StackShape> shapes_at(const Stack& stack, std::span<const double> pressures,
                                  const FollowOptions& options = {});

} // namespace valve::stack
