#pragma once

#include <stack/random_walk.hpp>
#include <valve/stack/spec.hpp>

#include <random>
#include <string>

namespace valve::stack::testing {

/// What was found of one stack that is not round.
struct RingWalk {
    Walk worst;           ///< of its states
    int states = 0;       ///< that were verified
    double energy = 0.0;  ///< by which one is above the round shape's, as a share of it
    double limit = 0.0;   ///< small windows beside the linear harmonics, small waves beside the round lift
    bool limited = false; ///< such a limit was there to look at
    bool jumps = false;   ///< its waves begin with a jump: the branch turns back below where they begin
    bool round = false;   ///< it has no windows and does not buckle up to the top pressure

    /// Every condition holds, energies to 1e-6, limits to 3 %.
    bool holds() const { return worst.holds() && energy <= 1e-6 && limit <= 0.03; }
    std::string words() const;
    void take_worse(const RingWalk& other);
};

/// A random stack of up to `most_shims`, three of five over windows; no guided float.
Stack random_ring(std::mt19937& random, int most_shims);

/// Over windows, and in waves at rest, through five pressures up to 30 bar; else 1.005, 1.3 and 2 times where
/// it buckles, looked for up to 60 bar.
RingWalk walk_ring(const Stack& stack);

/// Whether the verifier passes a state over windows, and none of those that differ by a little at one
/// unknown.
bool sees_faults();

} // namespace valve::stack::testing
