#pragma once

#include <plate/roark.hpp>
#include <single_plate/single_plate.hpp>

namespace valve::validation {

// A plate of shim size.

inline constexpr double rim = 0.015;                                       ///< a [m]
inline constexpr double thickness = 2e-4;                                  ///< t [m]
inline constexpr double poisson_ratio = plate::Material{}.poisson_ratio;   ///< 0.3, as in every table used
inline constexpr double youngs_modulus = plate::Material{}.youngs_modulus; ///< [Pa]

/// Unloaded, with b = `inner_ratio` a.
inline PlateProblem unit_plate(double inner_ratio, const RoarkSupports& supports) {
    PlateProblem problem;
    problem.inner_radius = inner_ratio * rim;
    problem.outer_radius = rim;
    problem.thickness = thickness;
    problem.inner = supports.inner;
    problem.outer = supports.outer;
    return problem;
}

} // namespace valve::validation
