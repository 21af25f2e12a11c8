#pragma once

#include <plate/roark.hpp>
#include <valve/stack/solution.hpp>

#include <span>
#include <vector>

namespace valve::validation {

// One shim in a stack, posed as a plate of Roark's table, so that the solver of every command is what is
// checked. Supports of the table are parts of a valve:
//   outer edge simple   the seat under a shim that its spring presses down, the stop over one that oil lifts;
//   inner edge simple   the hub, with a free edge; preload keeps the shim on it where oil lifts;
//   inner edge fixed    a clamp; or the hub, with a guided edge;
//   inner edge free, guided   the edge of a shim that rests on its seat or on the stop alone.
// A ring load is the spring of a float, a pressure the zone, a falling one the land. The letters a, b, c, d,
// k and l can be posed; no part of a valve fixes or guides an outer edge.

/// Size of the shim; no coefficient depends on it.
struct OneShim {
    double rim = 15e-3;       ///< a [m]
    double thickness = 2e-4;  ///< t [m]
    double inner_ratio = 0.0; ///< b/a
    char letter = 'l';        ///< of the supports
};

/// A load of the table, times a factor.
struct LoadPart {
    RoarkLoad load = RoarkLoad::pressure;
    double from = 0.0; ///< r_o/a
    double factor = 1.0;
};

/// Coefficients of a shim as the stack's solver finds them, with the table's signs, and what the table says.
struct ShimCoefficients {
    std::vector<double> radius;       ///< r/a of the nodes
    std::vector<double> deflection;   ///< K_y there, over the outer support
    double inner_shear = 0.0;         ///< K_Qb, of the hub's or the clamp's force
    double outer_shear = 0.0;         ///< K_Qa, of the seat's or the stop's force
    double stress = 0.0;              ///< largest von Mises stress, times t²/(6 q a²) or t²/(6 w a)
    double stress_radius = 0.0;       ///< r/a where it is
    std::vector<LoadPart> load_parts; ///< loads of the table that the load is made of
};

/// A ring load w at r_o = `from` a, by the float's spring. Linear theory.
ShimCoefficients under_ring(const OneShim& shim, double from);

/// A pressure from `from` a on, even up to `full` a and falling to zero at `end` a. Where a stop holds the
/// rim the load ends below it, at the latest 6 µm. Linear theory.
ShimCoefficients under_pressure(const OneShim& shim, double from, double full, double end);

/// What the table says for these loads at r = `radius` a.
EdgeCoefficients expected_at(double radius, const OneShim& shim, std::span<const LoadPart> parts);

/// von Mises stress of moments, times t²/6.
double mises(const EdgeCoefficients& k);

/// The seat of a stack that never meets it: so far below that no shim of these checks hangs down to it [m].
inline constexpr double far_below = -0.04;

/// A float so long, and so soft, that its spring's force is its preload to 1e-6.
stack::Float soft_float(double preload, double ring_radius, double spring_radius, stack::RestsOn rests_on);

/// The stack's states and shapes at these pressures [Pa].
std::vector<stack::StackShape> solved(const stack::Stack& stack, std::span<const double> pressures,
                                      stack::Theory theory);

} // namespace valve::validation
