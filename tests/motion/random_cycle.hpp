#pragma once

#include <string>

namespace valve::tests {

/// What became of cycles of random dampers.
struct RandomCycles {
    int finished = 0;
    int refused = 0;
    int without_steady_state = 0; ///< no way for the oil, or a reservoir that is empty: not counted otherwise
    double worst_mass = 0.0;      ///< share of the oil that does not balance
    double worst_energy = 0.0;
    std::string worst; ///< which cycle it is of
    long steps = 0;
    std::string refusals; ///< one a line
    std::string faults;   ///< what must not be: numbers that are not finite, balances that are open
};

/// Runs `count` dampers drawn from `seed` on through three cycles at 0.1 to 25 Hz, every other one with
/// valves that move, whose plates keep a share up to `most_restitution` of their speed at their seats.
RandomCycles run_random_cycles(int count, unsigned seed, double most_restitution = 0.0);

} // namespace valve::tests
