#pragma once

#include <valve/stack/detail/minimise.hpp>
#include <valve/stack/detail/ring_problem.hpp>

#include <optional>

namespace valve::stack {

// Round shapes as shapes of a RingProblem.

/// A state of the round problem as one of `problem`, which has yet to be solved.
State on_ring(const RingProblem& problem, const State& round);

/// Whether the rim of the face shim tells a state from a round one.
bool is_wavy(const RingProblem& problem, const State& state);

/// Where waves begin to grow.
struct Growth {
    double pressure = 0.0;      ///< [Pa]
    std::optional<double> lift; ///< over the seat [m]; none: that of the round problem
};

/// Where the round shape of a RingProblem of `round` and of so many waves buckles into them, to 1e-3: that of
/// contact at faces, a little off `told` [Pa], where the round problem's own does. `below` is a state of
/// `round` at less than both. None where it is not within a fifth of `told`.
std::optional<Growth> find_growth(const Problem& round, int waves, const State& below, double told);

} // namespace valve::stack
