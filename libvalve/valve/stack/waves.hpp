#pragma once

namespace valve::stack {

/// Where the round shape of a stack ceases to be stable and buckles into waves round the ring.
struct Waves {
    double pressure = 0.0; ///< from which it does [Pa]
    int count = 0;         ///< waves round the ring
};

} // namespace valve::stack
