#pragma once

#include <plate/roark.hpp>
#include <valve/plate/detail/annular_plate.hpp>

namespace valve::validation {

// A plate of shim size whose loads are given by what they lift in linear theory, so that its results are
// coefficients.

inline constexpr double rim = 0.015;                                       ///< a [m]
inline constexpr double thickness = 2e-4;                                  ///< t [m]
inline constexpr double poisson_ratio = plate::Material{}.poisson_ratio;   ///< 0.3, as in every table used
inline constexpr double youngs_modulus = plate::Material{}.youngs_modulus; ///< [Pa]

/// D [N m].
double stiffness();

/// Unloaded, with b = `inner_ratio` a.
plate::PlateProblem unit_plate(double inner_ratio, const RoarkSupports& supports);

/// Adds a load from r_o = `from_ratio` a: q = D lift/a⁴, or w = D lift/a³, with `lift` in [m].
void put_on(plate::PlateProblem& problem, RoarkLoad load, double from_ratio, double lift);

/// Coefficients of a plate loaded with a lift of `rim`.
PlateCoefficients coefficients(const plate::PlateSolution& solution);

} // namespace valve::validation
