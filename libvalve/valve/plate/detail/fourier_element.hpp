#pragma once

#include <valve/plate/detail/bent_element.hpp>

#include <map>
#include <vector>

namespace valve::plate {

/// Integral of cos² nθ round the circle: 2π for n = 0, else π.
double angular_integral(int nodal_diameters);

/// One annular element whose small motion goes round with n nodal diameters,
///   w = w(r) cos nθ, u = u(r) cos nθ, v = v(r) sin nθ (v the circumferential displacement),
/// about a flat or an axisymmetric bent state. Deflection: cubic Hermite on (w1, w1', w2, w2'). Everything
/// that depends on the radii, n and Poisson's ratio alone is computed once.
class FourierElement {
public:
    /// Throws std::invalid_argument unless 0 < inner < outer [m] and n ≥ 0.
    FourierElement(double inner, double outer, int nodal_diameters, double poisson_ratio);

    /// Bending energy D/2 qᵀ B q, with
    ///   B = ∬ κ_r² + κ_θ² + 2ν κ_r κ_θ + 2 (1 − ν) κ_rθ²,
    ///   κ_r = −w'', κ_θ = −w'/r + n² w/r², κ_rθ = n (w'/r − w/r²).
    /// Source: Kirchhoff's theory in polar coordinates, leissa_1969, chapter 1.
    const Eigen::Matrix4d& bending() const { return m_bending; }

    /// The same energy on (w1, w1', w2 − w1 − h w1', w2' − w1'), where w is w1 + w1' x and what bends that.
    /// In a short element the terms of `bending()` are large and all but cancel; these are none of them.
    Eigen::Matrix4d bending_apart() const;

    /// Kinetic energy ρ t/2 q̇ᵀ M q̇, M = ∬ w², without rotary inertia, which is (t/wavelength)² of it.
    Eigen::Matrix4d mass() const;

    /// The bent state about which the element moves.
    BentElement::State bent(const ElementVector& displacement) const { return m_round.state(displacement); }

    /// Second derivative of bending of the stiffness `D` [N m] and of the membrane forces N_r and N_θ of the
    /// bent state (w'² N_r + n² w²/r² N_θ), those of a membrane of the stiffness `C` [N/m], on w and w'
    /// alone: without the strains that a motion makes, which only stiffen. Where this is positive definite,
    /// so is the tangent.
    Eigen::Matrix4d tangent_at_least(double D, double C, const BentElement::State& bent) const;

protected:
    using Points = BentElement::Points;

    double m_inner;
    double m_size;
    int m_n;
    double m_nu;
    BentElement m_round;
    Eigen::Matrix4d m_bending;
    Eigen::Matrix<double, 4, 8> m_w;     ///< of (w1, w1', w2, w2') at the points
    Eigen::Matrix<double, 4, 8> m_slope; ///< their derivatives
    Points m_weight;                     ///< of the integral round the ring
    Points m_about;                      ///< n²/r², what N_θ works on, of w²
};

/// The same with its motion in the plane.
class BentFourierElement : public FourierElement {
public:
    /// Unknowns w, w', u, v at the inner and the outer node, in this order.
    using Matrix = Eigen::Matrix<double, 8, 8>;

    /// Throws as FourierElement.
    BentFourierElement(double inner, double outer, int nodal_diameters, double poisson_ratio);

    /// Second derivative of the von Kármán energy at the bent state `bent`, all of it: bending of the
    /// stiffness `D` [N m], the membrane forces N_r and N_θ of the state (w'² N_r + n² w²/r² N_θ) of a
    /// membrane of the stiffness `C` [N/m], and the strains that a motion makes on the slope W' of the state,
    ///   ε_r = u' + W' w', ε_θ = (u + n v)/r, γ = v' − v/r − n (u + W' w)/r.
    /// Inside the element u and v are quintics, whose inner unknowns are minimised out, as in Element.
    Matrix tangent(double D, double C, const BentElement::State& bent) const;

private:
    Points m_shear; ///< (1 − ν)/2 n²/r², what W' works on, of w²
    // In the plane: the end values of u and of v, then the bubbles of u and of v. What W' w' and W' w do to
    // them, per unit of C, at the points.
    Eigen::Matrix<double, 8, 4> m_ends_by_slope;
    Eigen::Matrix<double, 8, 4> m_ends_by_w;
    Eigen::Matrix<double, 8, 8> m_bubbles_by_slope;
    Eigen::Matrix<double, 8, 8> m_bubbles_by_w;
    Eigen::Matrix<double, 8, 8> m_root;    ///< L⁻¹ of the bubbles' stiffness L Lᵀ per unit of C
    Eigen::Matrix<double, 8, 4> m_coupled; ///< L⁻¹ times its coupling to the ends
    Eigen::Matrix4d m_ends;                ///< stiffness of the ends with the bubbles minimised out
};

/// The elements of one mesh with n nodal diameters, one row for each Poisson's ratio, made where they are
/// first asked for.
class FourierMesh {
public:
    /// `nodes` rising [m]. Throws as FourierElement, when one is asked for.
    FourierMesh(std::vector<double> nodes, int nodal_diameters);

    const std::vector<double>& nodes() const { return m_nodes; }
    int nodal_diameters() const { return m_n; }
    const std::vector<FourierElement>& elements(double poisson_ratio);
    const std::vector<BentFourierElement>& bent_elements(double poisson_ratio);

private:
    std::vector<double> m_nodes;
    int m_n;
    std::map<double, std::vector<FourierElement>> m_elements;
    std::map<double, std::vector<BentFourierElement>> m_bent_elements;
};

} // namespace valve::plate
