#include <valve/plate/detail/bent_element.hpp>
#include <valve/plate/detail/shape.hpp>

#include <Eigen/Cholesky>

#include <stdexcept>

namespace valve::plate {

BentElement::BentElement(double inner, double outer, double poisson_ratio) {
    if (!(inner > 0.0) || !(outer > inner))
        throw std::invalid_argument("BentElement: radii are not 0 < inner < outer");
    const double h = outer - inner;
    const double nu = poisson_ratio;

    // Strains at the points from the four bubbles, and from what is given.
    Eigen::Matrix<double, 8, 4> bubble_r;
    Eigen::Matrix<double, 8, 4> bubble_t;
    Eigen::Matrix<double, 8, strains> given_r = Eigen::Matrix<double, 8, strains>::Zero();
    Eigen::Matrix<double, 8, strains> given_t = Eigen::Matrix<double, 8, strains>::Zero();
    Points weight;
    for (std::size_t g = 0; g < gauss8_at.size(); ++g) {
        const auto row = static_cast<Eigen::Index>(g);
        const double s = gauss8_at[g];
        const double r = inner + h * s;
        const InPlaneShape u = in_plane_shape(s);
        bubble_r.row(row) = u.slope.tail<4>().transpose() / h;
        bubble_t.row(row) = u.value.tail<4>().transpose() / r;
        given_r.row(row).head<2>() = u.slope.head<2>().transpose() / h;
        given_t.row(row).head<2>() = u.value.head<2>().transpose() / r;
        given_r(row, 2 + row) = 1.0;
        weight[row] = gauss8_weight[g] * r;
        m_slope.row(row) = hermite_slope(s, h).transpose();
    }
    const Eigen::Matrix<double, 8, 4> bubble_n_r = weight.asDiagonal() * (bubble_r + nu * bubble_t);
    const Eigen::Matrix<double, 8, 4> bubble_n_t = weight.asDiagonal() * (bubble_t + nu * bubble_r);
    const Eigen::Matrix4d stiffness = bubble_n_r.transpose() * bubble_r + bubble_n_t.transpose() * bubble_t;
    const Eigen::Matrix<double, 4, strains> force =
        bubble_n_r.transpose() * given_r + bubble_n_t.transpose() * given_t;
    const Eigen::Matrix<double, 4, strains> bubbles = -stiffness.llt().solve(force);
    const Eigen::Matrix<double, 8, strains> e_r = given_r + bubble_r * bubbles;
    const Eigen::Matrix<double, 8, strains> e_t = given_t + bubble_t * bubbles;
    m_radial = e_r + nu * e_t;
    m_hoop = e_t + nu * e_r;
}

BentElement::State BentElement::state(const ElementVector& bent) const {
    State state;
    // Only the difference of w bends.
    state.slope = m_slope.lazyProduct(Eigen::Vector4d(0.0, bent[1], bent[3] - bent[0], bent[4]));
    Eigen::Matrix<double, strains, 1> given;
    given << bent[2], bent[5], 0.5 * state.slope.cwiseAbs2();
    state.radial = m_radial.lazyProduct(given);
    state.hoop = m_hoop.lazyProduct(given);
    return state;
}

} // namespace valve::plate
