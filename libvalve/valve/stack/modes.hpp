#pragma once

#include <optional>
#include <vector>

namespace valve::stack {

struct ModesOptions {
    std::optional<double> pressure =
        std::nullopt;         ///< a point of the lift curve [Pa]; none: just lifted, unbent
    double oil_density = 0.0; ///< 0: none [kg/m³]
    int most_diameters = 3;
    int families = 3; ///< of each number of nodal diameters
};

/// One natural frequency. Families are counted from 0, the lowest, within a number of nodal diameters; of a
/// floated stack family 0 is the bounce (no diameter) or the tilt (one) on its spring.
struct Mode {
    int nodal_diameters = 0;
    int family = 0;
    std::optional<double> frequency_air; ///< [Hz]; none: the round state buckles into these nodal diameters
    std::optional<double> frequency_oil; ///< [Hz]; none likewise, or without oil
};

/// Natural frequencies of a stack in one state.
struct Modes {
    bool on_seat = false; ///< some of the land touches
    bool on_hub = false;
    bool on_stop = false;
    std::vector<Mode> modes; ///< by nodal diameters, then by family
};

} // namespace valve::stack
