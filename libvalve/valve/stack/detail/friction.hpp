#pragma once

#include <valve/stack/detail/path.hpp>
#include <valve/stack/friction.hpp>

namespace valve::stack {

/// The hysteresis that friction of the coefficient `coefficient` [-], not below zero, makes of `state`, whose
/// pressure is above zero.
FrictionEstimate friction_of(const Path& path, const State& state, double coefficient);

/// Half width of that hysteresis at a coefficient of 1 [Pa], of a state at any pressure.
double friction_pressure(const Problem& problem, const State& state);

} // namespace valve::stack
