#pragma once

#include <valve/plate/detail/mesh.hpp>
#include <valve/stack/lift_curve.hpp>

#include <optional>
#include <vector>

namespace valve::stack {

struct ModesOptions {
    Theory theory = Theory::large_deflection;
    std::optional<double> pressure =
        std::nullopt;         ///< a point of the lift curve [Pa]; none: just lifted, unbent
    double oil_density = 0.0; ///< 0: none [kg/m³]
    int most_diameters = 3;
    int families = 3; ///< of each number of nodal diameters
    plate::Grading grading = {};
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

/// Natural frequencies of `stack` by plate::Vibration, which says what is included and what is left out.
///
/// What touches in the state, moves together, without friction: shims share w, the land, the hub and the
/// stop hold it. Just lifted, unbent: shims touch wherever they lie on one another, and nothing else holds
/// them but the clamp or the float's spring. At a pressure: contact and shape are those of the equilibrium;
/// with linear plates only the contact counts, for they stiffen by no bending. A guided edge stays level, so
/// that with nodal diameters it does not move. The float's spring is an even bed under its ring, without
/// mass.
///
/// A rigid disc has its bounce alone, in oil with the 8/3 ρ a³ of a disc in unbounded fluid (H. Lamb,
/// Hydrodynamics, art. 102, from memory), and no mode while seat or stop holds it.
///
/// Throws std::invalid_argument where check(stack) has an error, SolveError where there is no state at the
/// pressure or no frequencies are found.
Modes natural_frequencies(const Stack& stack, const ModesOptions& options = {});

} // namespace valve::stack
