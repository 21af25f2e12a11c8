#pragma once

#include <valve/plate/detail/element.hpp>

namespace valve::plate {

/// Integral of cos² nθ round the circle: 2π for n = 0, else π.
double angular_integral(int nodal_diameters);

/// One annular element whose small motion goes round with n nodal diameters,
///   w = w(r) cos nθ, u = u(r) cos nθ, v = v(r) sin nθ (v the circumferential displacement),
/// about a flat or an axisymmetric bent state. Deflection: cubic Hermite on (w1, w1', w2, w2').
class FourierElement {
public:
    /// Unknowns w, w', u, v at the inner and the outer node, in this order.
    using Matrix = Eigen::Matrix<double, 8, 8>;

    /// Throws std::invalid_argument unless 0 < inner < outer [m] and n ≥ 0.
    FourierElement(double inner, double outer, int nodal_diameters);

    /// Bending energy D/2 qᵀ B q, with
    ///   B = ∬ κ_r² + κ_θ² + 2ν κ_r κ_θ + 2 (1 − ν) κ_rθ²,
    ///   κ_r = −w'', κ_θ = −w'/r + n² w/r², κ_rθ = n (w'/r − w/r²).
    /// Source: Kirchhoff's theory in polar coordinates, leissa_1969, chapter 1 (from memory).
    Eigen::Matrix4d bending(double poisson_ratio) const;

    /// Kinetic energy ρ t/2 q̇ᵀ M q̇, M = ∬ w², without rotary inertia, which is (t/wavelength)² of it.
    Eigen::Matrix4d mass() const;

    /// Second derivative of the von Kármán energy at the bent state `bent`, all of it: bending, the membrane
    /// forces N_r and N_θ of the state (w'² N_r + n² w²/r² N_θ), and the strains that a motion makes on the
    /// slope W' of the state,
    ///   ε_r = u' + W' w', ε_θ = (u + n v)/r, γ = v' − v/r − n (u + W' w)/r.
    /// Inside the element u and v are quintics, whose inner unknowns are minimised out, as in Element.
    Matrix tangent(const Material& material, double thickness, const ElementVector& bent) const;

private:
    double m_inner;
    double m_size;
    int m_n;
};

} // namespace valve::plate
