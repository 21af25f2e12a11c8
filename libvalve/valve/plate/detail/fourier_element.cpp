#include <valve/plate/detail/fourier_element.hpp>
#include <valve/plate/detail/shape.hpp>

#include <Eigen/Cholesky>

#include <numbers>
#include <stdexcept>

namespace valve::plate {
namespace {

// Rows of the strains of a motion: three curvatures, three membrane strains.
using Curvatures = Eigen::Matrix<double, 3, 4>;
using Strains = Eigen::Matrix<double, 3, 16>;

/// κ_r, κ_θ, κ_rθ from (w1, w1', w2, w2').
Curvatures curvatures(double s, double h, double r, double n) {
    const Eigen::Vector4d w = hermite(s, h);
    const Eigen::Vector4d slope = hermite_slope(s, h);
    Curvatures k;
    k.row(0) = -hermite_second(s, h).transpose();
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

/// The bent state of an element: its slope, and its u with the bubbles that minimise the membrane energy.
struct BentState {
    BentState(const ElementVector& q, double inner, double h, double nu)
        : size(h), poisson(nu), radius(inner) {
        deflection << q[0], q[1], q[3], q[4];
        in_plane << q[2], q[5], 0.0, 0.0, 0.0, 0.0;
        Eigen::Matrix4d stiffness = Eigen::Matrix4d::Zero();
        Eigen::Vector4d force = Eigen::Vector4d::Zero();
        for (std::size_t g = 0; g < gauss8_at.size(); ++g) {
            const double s = gauss8_at[g];
            const double r = radius + h * s;
            const InPlaneShape u = in_plane_shape(s);
            const Eigen::Vector4d e_r = u.slope.tail<4>() / h;
            const Eigen::Vector4d e_t = u.value.tail<4>() / r;
            const Eigen::Vector2d n = forces(s);
            stiffness += gauss8_weight[g] * r *
                         (e_r * e_r.transpose() + e_t * e_t.transpose() +
                          nu * (e_r * e_t.transpose() + e_t * e_r.transpose()));
            force += gauss8_weight[g] * r * (n[0] * e_r + n[1] * e_t);
        }
        in_plane.tail<4>() = -stiffness.llt().solve(force);
    }

    double slope(double s) const { return hermite_slope(s, size).dot(deflection); }

    /// N_r and N_θ per unit of C.
    Eigen::Vector2d forces(double s) const {
        const InPlaneShape u = in_plane_shape(s);
        const double w_r = slope(s);
        const double e_r = u.slope.dot(in_plane) / size + 0.5 * w_r * w_r;
        const double e_t = u.value.dot(in_plane) / (radius + size * s);
        return {e_r + poisson * e_t, e_t + poisson * e_r};
    }

    double size;
    double poisson;
    double radius;
    Eigen::Vector4d deflection;
    Eigen::Matrix<double, 6, 1> in_plane;
};

} // namespace

double angular_integral(int nodal_diameters) {
    return nodal_diameters == 0 ? 2.0 * std::numbers::pi : std::numbers::pi;
}

FourierElement::FourierElement(double inner, double outer, int nodal_diameters)
    : m_inner(inner), m_size(outer - inner), m_n(nodal_diameters) {
    if (!(inner > 0.0) || !(outer > inner))
        throw std::invalid_argument("FourierElement: radii are not 0 < inner < outer");
    if (nodal_diameters < 0) throw std::invalid_argument("FourierElement: fewer than no nodal diameters");
}

Eigen::Matrix4d FourierElement::bending(double poisson_ratio) const {
    const Eigen::Matrix3d law = isotropic(poisson_ratio, 2.0 * (1.0 - poisson_ratio));
    Eigen::Matrix4d matrix = Eigen::Matrix4d::Zero();
    for (std::size_t g = 0; g < gauss8_at.size(); ++g) {
        const double r = m_inner + m_size * gauss8_at[g];
        const Curvatures k = curvatures(gauss8_at[g], m_size, r, m_n);
        matrix += angular_integral(m_n) * r * m_size * gauss8_weight[g] * (k.transpose() * law * k);
    }
    return matrix;
}

Eigen::Matrix4d FourierElement::mass() const {
    Eigen::Matrix4d matrix = Eigen::Matrix4d::Zero();
    for (std::size_t g = 0; g < gauss8_at.size(); ++g) {
        const double r = m_inner + m_size * gauss8_at[g];
        const Eigen::Vector4d w = hermite(gauss8_at[g], m_size);
        matrix += angular_integral(m_n) * r * m_size * gauss8_weight[g] * (w * w.transpose());
    }
    return matrix;
}

FourierElement::Matrix FourierElement::tangent(const Material& material, double thickness,
                                               const ElementVector& bent) const {
    const double nu = material.poisson_ratio;
    const double n = m_n;
    const BentState state(bent, m_inner, m_size, nu);
    const Eigen::Matrix3d law = isotropic(nu, 0.5 * (1.0 - nu));

    // Unknowns before condensation: (w1, w1', w2, w2'), the end values of u, those of v, and their bubbles.
    constexpr Eigen::Index u_ends = 4;
    constexpr Eigen::Index v_ends = 6;
    constexpr Eigen::Index u_bubbles = 8;
    constexpr Eigen::Index v_bubbles = 12;
    Eigen::Matrix<double, 16, 16> full = Eigen::Matrix<double, 16, 16>::Zero();
    for (std::size_t g = 0; g < gauss8_at.size(); ++g) {
        const double s = gauss8_at[g];
        const double r = m_inner + m_size * s;
        const double W_r = state.slope(s);
        const Eigen::Vector2d N = state.forces(s);
        const Eigen::RowVector4d w = hermite(s, m_size).transpose();
        const Eigen::RowVector4d slope = hermite_slope(s, m_size).transpose();
        const InPlaneShape shape = in_plane_shape(s);

        Strains e = Strains::Zero();
        const auto put = [&](Eigen::Index row, Eigen::Index ends, Eigen::Index bubbles,
                             const Eigen::Matrix<double, 6, 1>& value) {
            e.block<1, 2>(row, ends) = value.head<2>().transpose();
            e.block<1, 4>(row, bubbles) = value.tail<4>().transpose();
        };
        e.block<1, 4>(0, 0) = W_r * slope;
        put(0, u_ends, u_bubbles, shape.slope / m_size);
        put(1, u_ends, u_bubbles, shape.value / r);
        put(1, v_ends, v_bubbles, n / r * shape.value);
        e.block<1, 4>(2, 0) = -n / r * W_r * w;
        put(2, u_ends, u_bubbles, -n / r * shape.value);
        put(2, v_ends, v_bubbles, shape.slope / m_size - shape.value / r);

        const double weight = angular_integral(m_n) * r * m_size * gauss8_weight[g];
        full += weight * (e.transpose() * law * e);
        full.topLeftCorner<4, 4>() +=
            weight * (N[0] * slope.transpose() * slope + N[1] * (n * n / (r * r)) * w.transpose() * w);
    }
    full *= membrane_stiffness(material, thickness);
    full.topLeftCorner<4, 4>() += bending_stiffness(material, thickness) * bending(nu);

    const Matrix coupling = full.bottomLeftCorner<8, 8>();
    const Matrix bubbles = full.bottomRightCorner<8, 8>();
    const Matrix kept = full.topLeftCorner<8, 8>() - coupling.transpose() * bubbles.llt().solve(coupling);

    constexpr std::array<Eigen::Index, 8> order{0, 1, 4, 6, 2, 3, 5, 7}; // by node
    Matrix matrix;
    for (Eigen::Index i = 0; i < 8; ++i)
        for (Eigen::Index j = 0; j < 8; ++j)
            matrix(i, j) = kept(order[static_cast<std::size_t>(i)], order[static_cast<std::size_t>(j)]);
    return matrix;
}

} // namespace valve::plate
