#pragma once

#include <valve/stack/detail/minimise.hpp>
#include <valve/stack/modes.hpp>

namespace valve::stack {

/// ω/2π of a square of an angular frequency [Hz].
double frequency(double square);

/// Natural frequencies of bending shims about `state`; null: unbent and just lifted. The pressure of
/// `options` is not looked at. Throws SolveError where no frequencies are found.
Modes modes_of_shims(const Problem& problem, const State* state, const ModesOptions& options);

} // namespace valve::stack
