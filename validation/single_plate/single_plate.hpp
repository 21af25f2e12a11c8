#pragma once

#include <valve/plate/detail/mesh.hpp>
#include <valve/plate/detail/resultants.hpp>
#include <valve/plate/detail/vibration.hpp>
#include <valve/plate/material.hpp>

#include <vector>

namespace valve::validation {

// The library's elements with a solver of their own, for plates that no valve can pose: edges that are held
// outside, circles with a vanishing hole. What a stack can pose is checked by the stack's solver.

/// How an edge of a plate is held.
enum class EdgeSupport {
    free,
    simple, ///< w = 0
    guided, ///< w' = 0, u = 0
    fixed   ///< w = w' = 0, u = 0
};

/// Theory of a single plate.
enum class PlateTheory { linear, von_karman };

/// Pressure on an annulus in the direction of +w, going linearly from one edge to the other.
struct PressureLoad {
    double inner_radius = 0.0;   ///< [m]
    double outer_radius = 0.0;   ///< [m]
    double inner_pressure = 0.0; ///< [Pa]
    double outer_pressure = 0.0; ///< [Pa]
};

/// Force spread evenly on a ring in the direction of +w.
struct RingLoad {
    double radius = 0.0; ///< [m]
    double force = 0.0;  ///< in all, not per metre [N]
};

/// One annular plate under axisymmetric loads.
struct PlateProblem {
    double inner_radius = 0.0; ///< [m]
    double outer_radius = 0.0; ///< [m]
    double thickness = 0.0;    ///< [m]
    plate::Material material;
    EdgeSupport inner = EdgeSupport::fixed;
    EdgeSupport outer = EdgeSupport::free;
    std::vector<PressureLoad> pressures;
    std::vector<RingLoad> rings;
    plate::Grading grading;
    PlateTheory theory = PlateTheory::linear;
};

/// Deflected plate, at the nodes of its mesh.
struct PlateSolution {
    std::vector<double> radius;                ///< [m]
    std::vector<double> deflection;            ///< w [m]
    std::vector<double> slope;                 ///< w' [-]
    std::vector<double> radial;                ///< u [m]
    std::vector<plate::Resultants> resultants; ///< from nodal forces
    double inner_reaction = 0.0; ///< force of the inner support on the plate, in the direction of +w [N]
    double outer_reaction = 0.0; ///< [N]
    int iterations = 0;          ///< of Newton's method
    double last_step = 0.0;      ///< largest change of w that the last iteration asked for [m]
    bool converged = false;
};

/// Solves `problem` by the principle of minimum potential energy on one mesh: linear Kirchhoff theory, or
/// von Kármán strains by Newton's method with the load in steps.
/// Throws std::invalid_argument for radii, thickness or supports that make no plate.
PlateSolution solve(const PlateProblem& problem);

/// The plate of `problem` in small motion about its deflected state, or flat and unloaded where `state` is
/// null. Supports hold v as they hold u.
plate::Vibration vibration_of(const PlateProblem& problem, const PlateSolution* state, int nodal_diameters);

} // namespace valve::validation
