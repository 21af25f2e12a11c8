#pragma once

#include <valve/stack/solution.hpp>
#include <valve/stack/uneven.hpp>
#include <valve/stack/waves.hpp>

#include <vector>

namespace valve::stack {

/// A shape in waves that has grown out of the round one, at one pressure.
struct WaveBranch {
    Waves waves; ///< from where on the round shape buckles into so many; to 1e-2 where it buckled before
    UnevenLift lift;
    double released = 0.0; ///< potential energy of the round shape less that of this one [J]
};

/// The shapes that a stack without windows can take at `pressure` [Pa], beyond its buckling: first the one of
/// Solution::uneven(), then those of a wave less (not below two) and a wave more, where the round shape
/// buckles into so many as well. The more energy a shape has released, the likelier it is found. One that is
/// beyond the theory, or is not found, is left out.
///
/// Empty where uneven() is none, and over windows. The stack is followed anew, which costs some round curves.
/// Throws as uneven().
std::vector<WaveBranch> wave_branches(const Solution& solution, double pressure);

} // namespace valve::stack
