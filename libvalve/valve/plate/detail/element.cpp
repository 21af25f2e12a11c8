#include <valve/plate/detail/element.hpp>
#include <valve/plate/detail/shape.hpp>

#include <Eigen/Cholesky>

#include <array>
#include <numbers>
#include <stdexcept>

namespace valve::plate {
namespace {

constexpr double two_pi = 2.0 * std::numbers::pi;

/// (w1, w1', w2, w2') out of the six unknowns.
Eigen::Vector4d bending_part(const ElementVector& q) {
    return {q[0], q[1], q[3], q[4]};
}
constexpr std::array<Eigen::Index, 4> bending_rows{0, 1, 3, 4};
constexpr std::array<Eigen::Index, 2> radial_rows{2, 5};

} // namespace

double bending_stiffness(const Material& material, double thickness) {
    const double nu = material.poisson_ratio;
    return material.youngs_modulus * thickness * thickness * thickness / (12.0 * (1.0 - nu * nu));
}

double membrane_stiffness(const Material& material, double thickness) {
    const double nu = material.poisson_ratio;
    return material.youngs_modulus * thickness / (1.0 - nu * nu);
}

Element::Element(double inner, double outer, double poisson_ratio) : m_inner(inner), m_outer(outer) {
    if (!(inner > 0.0) || !(outer > inner))
        throw std::invalid_argument("Element: radii are not 0 < inner < outer");
    if (!(poisson_ratio > -1.0) || !(poisson_ratio < 0.5))
        throw std::invalid_argument("Element: Poisson's ratio is not between -1 and 0.5");
    const double h = outer - inner;
    const double nu = poisson_ratio;

    // Unknowns of the membrane before condensation: u1, u2, the four bubbles, then f at the points.
    Eigen::Matrix<double, 11, 11> full = Eigen::Matrix<double, 11, 11>::Zero();
    m_bending.setZero();
    for (std::size_t g = 0; g < gauss8_at.size(); ++g) {
        const double s = gauss8_at[g];
        const double r = inner + h * s;
        const double weight = two_pi * r * h * gauss8_weight[g];

        const Eigen::Vector4d k_r = hermite_second(s, h);
        const Eigen::Vector4d k_t = hermite_slope(s, h) / r;
        m_bending += weight * (k_r * k_r.transpose() + k_t * k_t.transpose() +
                               nu * (k_r * k_t.transpose() + k_t * k_r.transpose()));

        const InPlaneShape u = in_plane_shape(s);
        Eigen::Matrix<double, 11, 1> e_r;
        Eigen::Matrix<double, 11, 1> e_t;
        e_r << u.slope / h, gauss5_lagrange(s);
        e_t << u.value / r, Eigen::Matrix<double, 5, 1>::Zero();
        full += weight * (e_r * e_r.transpose() + e_t * e_t.transpose() +
                          nu * (e_r * e_t.transpose() + e_t * e_r.transpose()));
    }

    Eigen::Matrix<double, 7, 7> kept;
    kept << full.topLeftCorner<2, 2>(), full.topRightCorner<2, 5>(), full.bottomLeftCorner<5, 2>(),
        full.bottomRightCorner<5, 5>();
    Eigen::Matrix<double, 4, 7> coupling;
    coupling << full.block<4, 2>(2, 0), full.block<4, 5>(2, 6);
    const Eigen::Matrix4d bubbles = full.block<4, 4>(2, 2);
    kept -= coupling.transpose() * bubbles.llt().solve(coupling);
    m_membrane.setZero();
    m_membrane.topLeftCorner<7, 7>() = 0.5 * (kept + kept.transpose());

    m_slope.setZero();
    for (std::size_t i = 0; i < gauss5_at.size(); ++i)
        m_slope.row(static_cast<Eigen::Index>(i)) = hermite_slope(gauss5_at[i], h).transpose();
}

double Element::bending_energy(double D, const ElementVector& q) const {
    const Eigen::Vector4d b = bending_part(q);
    return 0.5 * D * b.dot(m_bending * b);
}

double Element::add_bending(double D, const ElementVector& q, ElementVector& force,
                            ElementMatrix& stiffness) const {
    const Eigen::Vector4d b = bending_part(q);
    const Eigen::Vector4d f = D * (m_bending * b);
    for (Eigen::Index i = 0; i < 4; ++i) {
        const Eigen::Index row = bending_rows[static_cast<std::size_t>(i)];
        force[row] += f[i];
        for (Eigen::Index j = 0; j < 4; ++j)
            stiffness(row, bending_rows[static_cast<std::size_t>(j)]) += D * m_bending(i, j);
    }
    return 0.5 * b.dot(f);
}

Element::Strains Element::membrane_state(const ElementVector& q,
                                         Eigen::Matrix<double, slopes, 1>& slope) const {
    slope = m_slope * bending_part(q);
    Strains z;
    z << q[2], q[5], 0.5 * slope.cwiseAbs2();
    return z;
}

ElementVector Element::force(double D, double C, const ElementVector& q) const {
    ElementVector force = ElementVector::Zero();
    Eigen::Vector4d bending = D * (m_bending * bending_part(q));
    if (C > 0.0) {
        Eigen::Matrix<double, slopes, 1> slope;
        const Strains conjugate = C * m_membrane.lazyProduct(membrane_state(q, slope));
        bending += m_slope.transpose() * slope.cwiseProduct(conjugate.tail<slopes>());
        force[2] = conjugate[0];
        force[5] = conjugate[1];
    }
    for (Eigen::Index i = 0; i < 4; ++i)
        force[bending_rows[static_cast<std::size_t>(i)]] = bending[i];
    return force;
}

double Element::membrane_energy(double C, const ElementVector& q) const {
    Eigen::Matrix<double, slopes, 1> slope;
    const Strains z = membrane_state(q, slope);
    return 0.5 * C * z.dot(m_membrane.lazyProduct(z));
}

double Element::add_membrane(double C, const ElementVector& q, double squeeze, ElementVector& force,
                             ElementMatrix& stiffness) const {
    Eigen::Matrix<double, slopes, 1> slope;
    const Strains z = membrane_state(q, slope);
    const Strains conjugate =
        C * m_membrane.lazyProduct(z); // forces on u1, u2 and weighted N_r at the points

    // dz/dq: identity for u; w' b for f = w'²/2, b the slopes' matrix. The second derivative of f is b bᵀ, so
    // that all of the tangent's bending part has b on both sides.
    using Slopes = Eigen::Matrix<double, slopes, 1>;
    const Slopes pull = conjugate.tail<slopes>();
    const Eigen::Vector4d bending_force = m_slope.transpose() * slope.cwiseProduct(pull);
    Eigen::Matrix<double, slopes, slopes> at_points =
        C * (slope.asDiagonal() * m_membrane.bottomRightCorner<slopes, slopes>() * slope.asDiagonal());
    at_points.diagonal() += pull.cwiseMax(squeeze * pull);
    const Eigen::Matrix4d bending = m_slope.transpose() * at_points * m_slope;
    const Eigen::Matrix<double, 2, 4> across =
        C * (m_membrane.topRightCorner<2, slopes>() * slope.asDiagonal() * m_slope);
    for (Eigen::Index i = 0; i < 4; ++i) {
        const Eigen::Index row = bending_rows[static_cast<std::size_t>(i)];
        force[row] += bending_force[i];
        for (Eigen::Index j = 0; j < 4; ++j)
            stiffness(row, bending_rows[static_cast<std::size_t>(j)]) += bending(i, j);
        for (Eigen::Index j = 0; j < 2; ++j) {
            const Eigen::Index column = radial_rows[static_cast<std::size_t>(j)];
            stiffness(row, column) += across(j, i);
            stiffness(column, row) += across(j, i);
        }
    }
    for (Eigen::Index i = 0; i < 2; ++i) {
        const Eigen::Index row = radial_rows[static_cast<std::size_t>(i)];
        force[row] += conjugate[i];
        for (Eigen::Index j = 0; j < 2; ++j)
            stiffness(row, radial_rows[static_cast<std::size_t>(j)]) += C * m_membrane(i, j);
    }
    return 0.5 * z.dot(conjugate);
}

Eigen::Vector4d Element::pressure_load(double inner_pressure, double outer_pressure) const {
    const double h = m_outer - m_inner;
    Eigen::Vector4d load = Eigen::Vector4d::Zero();
    for (std::size_t g = 0; g < gauss8_at.size(); ++g) {
        const double s = gauss8_at[g];
        const double p = inner_pressure + (outer_pressure - inner_pressure) * s;
        load += p * two_pi * (m_inner + h * s) * h * gauss8_weight[g] * hermite(s, h);
    }
    return load;
}

} // namespace valve::plate
