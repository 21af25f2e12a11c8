#pragma once

#include <stack/verify.hpp>
#include <valve/stack/detail/ring_problem.hpp>

namespace valve::stack::testing {

/// The same of a state that is not round: at every node round the ring the gaps and forces of shims, land,
/// stop and spring, the moments, and the forces in the plane by harmonics. Loads and the spring's bed are
/// integrated here.
Verdict verify(const RingProblem& problem, const State& state);

} // namespace valve::stack::testing
