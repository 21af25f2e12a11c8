#pragma once

#include <valve/plate/material.hpp>

#include <Eigen/Core>

namespace valve::plate {

/// Bending stiffness D = E t³ / 12(1 − ν²) of a plate of `thickness` [m], in [N m].
double bending_stiffness(const Material& material, double thickness);

/// Membrane stiffness C = E t / (1 − ν²), in [N/m].
double membrane_stiffness(const Material& material, double thickness);

/// Degrees of freedom of an annular element: deflection w, slope w' and radial displacement u at its inner
/// and outer node, in this order.
using ElementVector = Eigen::Matrix<double, 6, 1>;
using ElementMatrix = Eigen::Matrix<double, 6, 6>;

/// One axisymmetric element of unit stiffness: everything that depends on its radii and Poisson's ratio
/// alone, so that all shims of a stack share it.
///
/// Deflection: cubic Hermite. Bending energy D/2 qᵀ B q with q = (w1, w1', w2, w2') and
///   B = 2π ∫ (κ_r² + κ_θ² + 2ν κ_r κ_θ) r dr,   κ_r = −w'', κ_θ = −w'/r.
///
/// Membrane: the von Kármán strain ε_r = u' + f with f = w'²/2, which is a quartic in r; ε_θ = u/r. Inside
/// the element u is a quintic, so that u' can cancel any f and thin elements do not lock; its four inner
/// unknowns enter the energy as a quadratic form and are minimised out once and for all. What remains is
///   C/2 zᵀ M z,   z = (u1, u2, f at the five Gauss points), M constant.
class Element {
public:
    /// Points that carry f: five, and one of no weight, with which vectors fill registers.
    static constexpr int slopes = 6;

    /// Throws std::invalid_argument unless 0 < inner < outer [m] and −1 < poisson_ratio < 0.5.
    Element(double inner, double outer, double poisson_ratio);

    double inner() const { return m_inner; }
    double outer() const { return m_outer; }

    /// Adds force and stiffness of a linear plate of bending stiffness `D` [N m] at displacement `q`.
    /// The u entries stay untouched. Returns its energy [J].
    double add_bending(double D, const ElementVector& q, ElementVector& force,
                       ElementMatrix& stiffness) const;

    /// Adds force and tangent of the membrane of stiffness `C` [N/m] at `q`. The tangent's geometric part
    /// keeps the share `squeeze` of compressive radial membrane forces: with 1 it is exact, with 0 positive
    /// semi-definite. Returns the energy [J].
    double add_membrane(double C, const ElementVector& q, double squeeze, ElementVector& force,
                        ElementMatrix& stiffness) const;

    /// Forces alone, of bending and, where `C` > 0, of the membrane.
    ElementVector force(double D, double C, const ElementVector& q) const;

    /// Energy of bending, and of the membrane, without force or stiffness [J].
    double bending_energy(double D, const ElementVector& q) const;
    double membrane_energy(double C, const ElementVector& q) const;

    /// Work-equivalent nodal forces [N, N m] on (w1, w1', w2, w2') of a pressure in the direction of +w that
    /// goes linearly from `inner_pressure` to `outer_pressure` [Pa].
    Eigen::Vector4d pressure_load(double inner_pressure, double outer_pressure) const;

private:
    using Strains = Eigen::Matrix<double, 2 + slopes, 1>;

    Strains membrane_state(const ElementVector& q, Eigen::Matrix<double, slopes, 1>& slope) const;

    double m_inner;
    double m_outer;
    Eigen::Matrix4d m_bending;                                ///< B
    Eigen::Matrix<double, 2 + slopes, 2 + slopes> m_membrane; ///< M
    Eigen::Matrix<double, slopes, 4> m_slope;                 ///< w' at the points from (w1, w1', w2, w2')
};

} // namespace valve::plate
