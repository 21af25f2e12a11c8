#pragma once

#include <string>

namespace valve::tests {

/// What became of rides on random set-ups.
struct RandomRides {
    int finished = 0;
    int refused = 0;
    int unfit = 0; ///< springs that do not carry the load, or no way for the oil: not counted otherwise
    double worst_mass = 0.0; ///< share of the oil that does not balance
    double worst_energy = 0.0;
    std::string worst; ///< which ride it is of
    long steps = 0;
    long switches = 0;    ///< of friction, tyre and metal
    std::string refusals; ///< one a line
    std::string faults;   ///< what must not be: numbers that are not finite, oil that is lost
};

/// Rides `count` set-ups drawn from `seed` on, in turn over a landing, bumps and a square edge, every other
/// one with valves that move; `heavy_pistons`: reservoirs' pistons of 10 g to 1 kg, some without friction.
RandomRides run_random_rides(int count, unsigned seed, bool heavy_pistons = false);

/// The same set-ups, each over all three events; those of an even seed with valves that move.
RandomRides run_random_rides_over_each(int count, unsigned seed, bool heavy_pistons = false);

} // namespace valve::tests
