#pragma once

#include <valve/stack/lift_curve.hpp>
#include <valve/stack/lift_law.hpp>
#include <valve/stack/spec.hpp>

namespace valve::stack {

/// The lift law of `stack` from a coarse mesh and few pressures, for searches that look at thousands of
/// stacks: the same plates and contacts, 10 elements in place of 40, and a point only where the rates of its
/// neighbours do not tell the lift between them. Changes of contact are not located, stress is not known, and
/// windows count by the mean of the ring. A rigid disc is exact.
///
/// Of random tapers, clamped and floated, it is within some per cent of the full law:
/// tests/stack/test_quick_law.cpp. Throws SolveError where no state is found at the first pressures or the
/// lift falls, std::invalid_argument where check(stack) has an error.
LiftLaw quick_law(const Stack& stack, const FollowOptions& options = {});

} // namespace valve::stack
