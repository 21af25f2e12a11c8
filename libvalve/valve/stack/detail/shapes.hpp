#pragma once

#include <valve/stack/detail/minimise.hpp>
#include <valve/stack/shapes.hpp>

namespace valve::stack {

/// Mid-surfaces of the shims that bend, from the piston face.
std::vector<ShimShape> shapes_of(const Problem& problem, const State& state);

} // namespace valve::stack
