#pragma once

#include <Eigen/Core>

namespace valve::plate {

/// What a fluid at rest does round the edge of the disc that moves it.
enum class Surround {
    open,   ///< it flows round the edge from face to face
    baffled ///< a rigid plane round the disc parts the two sides
};

/// Kinetic energy of an incompressible fluid without viscosity, unbounded on both faces of a thin disc that
/// moves as w(r) cos nθ:
///   T = ρ/2 Σ_j weight_j (∫ ψ_j(r) ẇ(r) r dr)²,   s = r/a,
///   open:    ψ_j = sⁿ √(1 − s²) P_j^(n, 1/2)(1 − 2 s²), the jumps of the potential across the disc,
///   baffled: ψ_j = sⁿ P_j^(n, −1/2)(1 − 2 s²).
/// Their Hankel transforms are Bessel functions of half-integer order, which are orthogonal in the energy, so
/// nothing has to be solved; P are Jacobi's polynomials.
/// Source: the pair of Bessel integrals of sneddon_1966, with Jacobi's polynomials in place of the first.
/// The tests hold it against rigid discs
/// and lamb_1920.
class AddedMass {
public:
    /// `terms` of the sum. Throws std::invalid_argument unless radius > 0 [m], n ≥ 0 and terms > 0.
    AddedMass(double radius, int nodal_diameters, Surround surround, int terms = 40);

    /// ψ_j at `r` [m] [-].
    Eigen::VectorXd shapes(double r) const;

    /// weight_j [1/m].
    const Eigen::VectorXd& weights() const { return m_weights; }

private:
    double m_radius;
    int m_n;
    Surround m_surround;
    Eigen::VectorXd m_weights;
};

} // namespace valve::plate
