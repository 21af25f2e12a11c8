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

/// What is drawn beside the dampers, which stay as they are.
struct RandomParts {
    double most_restitution = 0.0; ///< shares of their speed that plates keep at their seats, up to this
    bool heavy_pistons = false;    ///< reservoirs' pistons of 10 g to 1 kg, some without friction
};

/// Runs `count` dampers drawn from `seed` on through three cycles at 0.1 to 25 Hz, every other one with
/// valves that move.
RandomCycles run_random_cycles(int count, unsigned seed, const RandomParts& parts = {});

} // namespace valve::tests
