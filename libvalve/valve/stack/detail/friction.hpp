#pragma once

#include <valve/stack/detail/path.hpp>
#include <valve/stack/friction.hpp>

namespace valve::stack {

/// The hysteresis that friction of the coefficient `coefficient` [-], not below zero, makes of `state`, whose
/// pressure is above zero.
FrictionEstimate friction_of(const Path& path, const State& state, double coefficient);

} // namespace valve::stack
