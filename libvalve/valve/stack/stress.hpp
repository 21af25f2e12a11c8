#pragma once

#include <valve/plate/material.hpp>

#include <optional>

namespace valve::stack {

/// The side of a shim.
enum class Face { piston, far };

/// Largest von Mises stress of a shim, at a node and on a face, from moments and membrane forces there.
struct StressPeak {
    double stress = 0.0; ///< [Pa]
    int shim = 0;        ///< counted from 1 at the piston face; 0: no bending shim
    double radius = 0.0; ///< [m]
    Face face = Face::far;
};

/// The shim that comes nearest to a limit of its strip, and how near: 1 is the limit.
struct StressShare {
    double share = 0.0; ///< [-]
    StressPeak peak;
};

/// σ/σ_y: from 1 on the shim keeps a set. None without a yield strength.
std::optional<double> yield_share(double stress, const plate::Material& material);

/// Soderberg's σ_a/σ_f + σ_m/σ_y for a shim that is bent from rest and let go again, σ_a = σ_m = σ/2: above 1
/// it breaks after some number of strokes. Without a yield strength the mean stress is left out; none
/// without a fatigue limit.
/// Source: budynas_nisbett_2015, 6-12.
std::optional<double> fatigue_share(double stress, const plate::Material& material);

} // namespace valve::stack
