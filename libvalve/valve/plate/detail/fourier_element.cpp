#include <valve/plate/detail/fourier_element.hpp>
#include <valve/plate/detail/shape.hpp>

#include <Eigen/Cholesky>

#include <array>
#include <numbers>
#include <stdexcept>
#include <utility>

namespace valve::plate {
namespace {

/// κ_r, κ_θ, κ_rθ of shapes with these deflections and derivatives at a radius.
Eigen::Matrix<double, 3, 4> curvatures(const Eigen::Vector4d& w, const Eigen::Vector4d& slope,
                                       const Eigen::Vector4d& second, double r, double n) {
    Eigen::Matrix<double, 3, 4> k;
    k.row(0) = -second.transpose();
    k.row(1) = (n * n / r * w - slope).transpose() / r;
    k.row(2) = n * (slope - w / r).transpose() / r;
    return k;
}

/// Energy density (e_1² + e_2² + 2ν e_1 e_2 + c e_3²)/2 as a matrix on the three strains.
Eigen::Matrix3d isotropic(double nu, double shear) {
    Eigen::Matrix3d law;
    law << 1.0, nu, 0.0, nu, 1.0, 0.0, 0.0, 0.0, shear;
    return law;
}

/// The row of a mesh, completed.
template <class Element>
const std::vector<Element>& made(std::vector<Element>& row, const FourierMesh& mesh, double nu) {
    const std::vector<double>& nodes = mesh.nodes();
    for (std::size_t e = row.size(); e + 1 < nodes.size(); ++e)
        row.emplace_back(nodes[e], nodes[e + 1], mesh.nodal_diameters(), nu);
    return row;
}

} // namespace

double angular_integral(int nodal_diameters) {
    return nodal_diameters == 0 ? 2.0 * std::numbers::pi : std::numbers::pi;
}

FourierElement::FourierElement(double inner, double outer, int nodal_diameters, double poisson_ratio)
    : m_inner(inner), m_size(outer - inner), m_n(nodal_diameters), m_nu(poisson_ratio),
      m_round(inner, outer, poisson_ratio) {
    if (m_n < 0) throw std::invalid_argument("FourierElement: fewer than no nodal diameters");
    const double nu = poisson_ratio;
    const double n = m_n;
    const double h = m_size;
    const Eigen::Matrix3d law = isotropic(nu, 2.0 * (1.0 - nu));
    m_bending.setZero();
    for (std::size_t g = 0; g < gauss8_at.size(); ++g) {
        const auto point = static_cast<Eigen::Index>(g);
        const double s = gauss8_at[g];
        const double r = inner + h * s;
        m_w.col(point) = hermite(s, h);
        m_slope.col(point) = hermite_slope(s, h);
        m_weight[point] = angular_integral(m_n) * r * h * gauss8_weight[g];
        m_about[point] = n * n / (r * r);
        const Eigen::Matrix<double, 3, 4> k =
            curvatures(hermite(s, h), hermite_slope(s, h), hermite_second(s, h), r, n);
        m_bending += m_weight[point] * (k.transpose().lazyProduct(law * k));
    }
}

Eigen::Matrix4d FourierElement::bending_apart() const {
    const Eigen::Matrix3d law = isotropic(m_nu, 2.0 * (1.0 - m_nu));
    Eigen::Matrix4d energy = Eigen::Matrix4d::Zero();
    for (std::size_t g = 0; g < gauss8_at.size(); ++g) {
        const double s = gauss8_at[g];
        Eigen::Vector4d w = hermite(s, m_size);
        Eigen::Vector4d slope = hermite_slope(s, m_size);
        Eigen::Vector4d second = hermite_second(s, m_size);
        w.head<2>() << 1.0, m_size * s;
        slope.head<2>() << 0.0, 1.0;
        second.head<2>().setZero();
        const Eigen::Matrix<double, 3, 4> k = curvatures(w, slope, second, m_inner + m_size * s, m_n);
        energy += m_weight[static_cast<Eigen::Index>(g)] * (k.transpose().lazyProduct(law * k));
    }
    return energy;
}

Eigen::Matrix4d FourierElement::mass() const {
    return m_w.lazyProduct(m_weight.asDiagonal() * m_w.transpose());
}

Eigen::Matrix4d FourierElement::tangent_at_least(double D, double C, const BentElement::State& bent) const {
    const Points of_slope = C * m_weight.cwiseProduct(bent.radial);
    const Points of_w = C * m_weight.cwiseProduct(m_about.cwiseProduct(bent.hoop));
    const Eigen::Matrix<double, 8, 4> slopes = of_slope.asDiagonal() * m_slope.transpose();
    const Eigen::Matrix<double, 8, 4> deflections = of_w.asDiagonal() * m_w.transpose();
    return D * m_bending + m_slope.lazyProduct(slopes) + m_w.lazyProduct(deflections);
}

BentFourierElement::BentFourierElement(double inner, double outer, int nodal_diameters, double poisson_ratio)
    : FourierElement(inner, outer, nodal_diameters, poisson_ratio) {
    const double n = m_n;
    const double h = m_size;
    const double shear = 0.5 * (1.0 - poisson_ratio);
    const Eigen::Matrix3d law = isotropic(poisson_ratio, shear);
    Eigen::Matrix4d ends = Eigen::Matrix4d::Zero();
    Eigen::Matrix<double, 8, 4> coupling = Eigen::Matrix<double, 8, 4>::Zero();
    Eigen::Matrix<double, 8, 8> bubbles = Eigen::Matrix<double, 8, 8>::Zero();
    for (std::size_t g = 0; g < gauss8_at.size(); ++g) {
        const auto point = static_cast<Eigen::Index>(g);
        const double s = gauss8_at[g];
        const double r = inner + h * s;
        m_shear[point] = shear * n * n / (r * r);

        // Strains ε_r, ε_θ, γ of the motion in the plane.
        const InPlaneShape u = in_plane_shape(s);
        Eigen::Matrix<double, 3, 4> of_ends = Eigen::Matrix<double, 3, 4>::Zero();
        Eigen::Matrix<double, 3, 8> of_bubbles = Eigen::Matrix<double, 3, 8>::Zero();
        const auto put = [&](Eigen::Index row, bool round, const Eigen::Matrix<double, 6, 1>& value) {
            of_ends.block<1, 2>(row, round ? 2 : 0) = value.head<2>().transpose();
            of_bubbles.block<1, 4>(row, round ? 4 : 0) = value.tail<4>().transpose();
        };
        put(0, false, u.slope / h);
        put(1, false, u.value / r);
        put(1, true, n / r * u.value);
        put(2, false, -n / r * u.value);
        put(2, true, u.slope / h - u.value / r);

        const Eigen::Matrix<double, 3, 4> ends_force = m_weight[point] * law.lazyProduct(of_ends);
        const Eigen::Matrix<double, 3, 8> bubbles_force = m_weight[point] * law.lazyProduct(of_bubbles);
        ends += of_ends.transpose().lazyProduct(ends_force);
        coupling += of_bubbles.transpose().lazyProduct(ends_force);
        bubbles += of_bubbles.transpose().lazyProduct(bubbles_force);
        m_ends_by_slope.row(point) = ends_force.row(0);
        m_ends_by_w.row(point) = -n / r * ends_force.row(2);
        m_bubbles_by_slope.row(point) = bubbles_force.row(0);
        m_bubbles_by_w.row(point) = -n / r * bubbles_force.row(2);
    }
    const Eigen::LLT<Eigen::Matrix<double, 8, 8>> factor(bubbles);
    m_root = factor.matrixL().solve(Eigen::Matrix<double, 8, 8>::Identity());
    m_coupled = m_root.lazyProduct(coupling);
    m_ends = ends - m_coupled.transpose().lazyProduct(m_coupled);
}

BentFourierElement::Matrix BentFourierElement::tangent(double D, double C,
                                                       const BentElement::State& bent) const {
    const Points square = bent.slope.cwiseAbs2();
    const Points of_slope = C * m_weight.cwiseProduct(square + bent.radial);
    const Points of_w =
        C * m_weight.cwiseProduct(m_shear.cwiseProduct(square) + m_about.cwiseProduct(bent.hoop));
    const Eigen::Matrix<double, 8, 4> slopes = of_slope.asDiagonal() * m_slope.transpose();
    const Eigen::Matrix<double, 8, 4> deflections = of_w.asDiagonal() * m_w.transpose();

    // What W' w' and W' w are at the points, and their coupling to what moves in the plane.
    const Eigen::Matrix<double, 4, 8> by_slope = m_slope * bent.slope.asDiagonal();
    const Eigen::Matrix<double, 4, 8> by_w = m_w * bent.slope.asDiagonal();
    const Eigen::Matrix4d to_ends = by_slope.lazyProduct(m_ends_by_slope) + by_w.lazyProduct(m_ends_by_w);
    const Eigen::Matrix<double, 4, 8> to_bubbles =
        by_slope.lazyProduct(m_bubbles_by_slope) + by_w.lazyProduct(m_bubbles_by_w);
    const Eigen::Matrix<double, 8, 4> reduced = m_root.lazyProduct(to_bubbles.transpose());

    const Eigen::Matrix4d ww = D * m_bending + m_slope.lazyProduct(slopes) + m_w.lazyProduct(deflections) -
                               C * reduced.transpose().lazyProduct(reduced);
    const Eigen::Matrix4d w_ends = C * (to_ends - reduced.transpose().lazyProduct(m_coupled));
    const Eigen::Matrix4d ends = C * m_ends;

    constexpr std::array<Eigen::Index, 4> w_at{0, 1, 4, 5};
    constexpr std::array<Eigen::Index, 4> ends_at{2, 6, 3, 7}; // u at both ends, then v
    Matrix matrix;
    for (std::size_t i = 0; i < 4; ++i)
        for (std::size_t j = 0; j < 4; ++j) {
            const auto row = static_cast<Eigen::Index>(i);
            const auto column = static_cast<Eigen::Index>(j);
            matrix(w_at[i], w_at[j]) = ww(row, column);
            matrix(w_at[i], ends_at[j]) = matrix(ends_at[j], w_at[i]) = w_ends(row, column);
            matrix(ends_at[i], ends_at[j]) = ends(row, column);
        }
    return matrix;
}

FourierMesh::FourierMesh(std::vector<double> nodes, int nodal_diameters)
    : m_nodes(std::move(nodes)), m_n(nodal_diameters) {}

const std::vector<FourierElement>& FourierMesh::elements(double poisson_ratio) {
    return made(m_elements[poisson_ratio], *this, poisson_ratio);
}

const std::vector<BentFourierElement>& FourierMesh::bent_elements(double poisson_ratio) {
    return made(m_bent_elements[poisson_ratio], *this, poisson_ratio);
}

} // namespace valve::plate
