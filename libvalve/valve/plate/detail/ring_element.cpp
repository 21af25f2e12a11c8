#include <valve/plate/detail/fourier_element.hpp>
#include <valve/plate/detail/ring_element.hpp>
#include <valve/plate/detail/shape.hpp>

#include <Eigen/Cholesky>

#include <cmath>
#include <numbers>
#include <stdexcept>

namespace valve::plate {
namespace {

using std::numbers::pi;
using To = Eigen::Ref<Eigen::MatrixXd>;
using From = const Eigen::Ref<const Eigen::MatrixXd>&;

// Products by one type of matrix each: the compiler takes a second for every other.

void multiply(To to, From a, From b) {
    to.noalias() = a * b;
}

/// to = aᵀ b.
void multiply_transposed(To to, From a, From b) {
    to.noalias() = a.transpose() * b;
}

/// to = aᵀ bᵀ.
void multiply_both_transposed(To to, From a, From b) {
    to.noalias() = a.transpose() * b.transpose();
}

} // namespace

RingBasis::RingBasis(int waves, int intervals, int harmonics)
    : m_waves(waves), m_intervals(intervals), m_harmonics(harmonics) {
    if (waves < 1 || intervals < 1 || harmonics < intervals || harmonics > 2 * intervals)
        throw std::invalid_argument("RingBasis: waves, intervals or harmonics make no basis");
    const int M = intervals;
    m_coefficients.resize(M + 1, M + 1);
    for (int k = 0; k <= M; ++k)
        for (int j = 0; j <= M; ++j) {
            const double halves = (k % M == 0 ? 0.5 : 1.0) * (j % M == 0 ? 0.5 : 1.0);
            m_coefficients(k, j) = 2.0 / M * halves * std::cos(pi * k * j / M);
        }

    // The trapezoidal rule on Q intervals is exact for harmonics below 2Q: for the harmonics up to K of
    // products, which reach up to 2M.
    const int Q = harmonics / 2 + M + 1;
    Eigen::MatrixXd cosines(Q + 1, M + 1);
    Eigen::MatrixXd sines(Q + 1, M + 1);
    m_to_cosines.setZero(harmonics + 1, Q + 1);
    m_to_sines.setZero(harmonics + 1, Q + 1);
    for (int i = 0; i <= Q; ++i) {
        const double angle = pi * i / Q; // of a half pitch
        for (int k = 0; k <= M; ++k) {
            cosines(i, k) = std::cos(k * angle);
            sines(i, k) = -k * waves * std::sin(k * angle);
        }
        const double weight = (i % Q == 0 ? 1.0 : 2.0) / Q;
        for (int k = 0; k <= harmonics; ++k) {
            m_to_cosines(k, i) = weight * (k == 0 ? 0.5 : 1.0) * std::cos(k * angle);
            m_to_sines(k, i) = weight * std::sin(k * angle);
        }
    }
    m_values.resize(Q + 1, M + 1);
    m_slopes.resize(Q + 1, M + 1);
    multiply(m_values, cosines, m_coefficients);
    multiply(m_slopes, sines, m_coefficients);
}

double RingBasis::angle(int node) const {
    return pi * node / (m_intervals * m_waves);
}

Eigen::VectorXd RingBasis::shares(double coverage) const {
    Eigen::VectorXd means(nodes());
    for (int k = 0; k < nodes(); ++k)
        means[k] = k == 0 ? coverage : std::sin(pi * k * coverage) / (pi * k);
    return m_coefficients.transpose() * means;
}

RingElement::Work::Work(const RingBasis& basis) {
    const Eigen::Index n = basis.nodes();
    const Eigen::Index angles_in_all = basis.values().rows();
    const Eigen::Index count = basis.harmonics() + 1;
    slope.setZero(angles_in_all, points);
    round.setZero(angles_in_all, points);
    added.setZero(strains, count);
    forces.setZero(strains, count);
    ends.setZero(4, count);
    at_ends.setZero(4, count);
    pull.setZero(angles_in_all, strains);
    by_w.setZero(strains * count, 4 * n);
    stressed.setZero(strains * count, 4 * n);
    ww.setZero(4 * n, 4 * n);
    w.setZero(n, 4);
    bent.setZero(n, 4);
    bending.setZero(n, 4);
    scaled.setZero(angles_in_all, n);
    for (Eigen::MatrixXd& product : products)
        product.setZero(n, n);
    for (Eigen::MatrixXd& harmonic : harmonics)
        harmonic.setZero(count, n);
    across.setZero(4 * n, 4);
    for (Eigen::VectorXd& values : angles)
        values.setZero(angles_in_all);
}

RingElement::RingElement(double inner, double outer, double poisson_ratio, const RingBasis& basis)
    : m_inner(inner), m_outer(outer), m_basis(&basis), m_per_node(2 * basis.nodes() + basis.in_plane()) {
    if (!(inner > 0.0) || !(outer > inner))
        throw std::invalid_argument("RingElement: radii are not 0 < inner < outer");
    const int n = basis.nodes();
    m_bending.setZero(4 * n, 4 * n);
    for (int k = 0; k < n; ++k) {
        const FourierElement element(inner, outer, k * basis.waves(), poisson_ratio);
        m_bending_apart.push_back(element.bending_apart());
        const auto row = basis.coefficients().row(k);
        const Eigen::MatrixXd of_nodes = row.transpose() * row;
        for (Eigen::Index a = 0; a < 4; ++a)
            for (Eigen::Index b = 0; b < 4; ++b)
                m_bending.block(a * n, b * n, n, n) += element.bending()(a, b) * of_nodes;
    }
    const double h = outer - inner;
    for (std::size_t g = 0; g < points; ++g) {
        const auto row = static_cast<Eigen::Index>(g);
        m_hermite.row(row) = hermite(gauss5_at[g], h).transpose() / (inner + h * gauss5_at[g]);
        m_slope.row(row) = hermite_slope(gauss5_at[g], h).transpose();
    }
    for (int k = 0; k <= basis.harmonics(); ++k)
        m_membrane.push_back(membrane(k, poisson_ratio));
}

RingElement::Harmonic RingElement::membrane(int k, double nu) const {
    // Unknowns before condensation: u and v at the ends, what w adds, then the bubbles of u and of v.
    constexpr int kept = 4 + strains;
    const double n = k * m_basis->waves();
    const double h = m_outer - m_inner;
    const int bubbles = k == 0 ? 4 : 8; // a round shape does not turn
    Eigen::MatrixXd law = Eigen::MatrixXd::Zero(3, 3);
    law(0, 0) = law(1, 1) = 1.0;
    law(0, 1) = law(1, 0) = nu;
    law(2, 2) = 0.5 * (1.0 - nu);
    Eigen::MatrixXd full = Eigen::MatrixXd::Zero(kept + 8, kept + 8);
    Eigen::MatrixXd strain(3, kept + 8); // ε_r, ε_θ and γ at a point
    Eigen::MatrixXd stress(3, kept + 8);
    Eigen::MatrixXd share(kept + 8, kept + 8);
    for (std::size_t g = 0; g < gauss8_at.size(); ++g) {
        const double s = gauss8_at[g];
        const double r = m_inner + h * s;
        const double weight = angular_integral(k) * r * h * gauss8_weight[g];
        const InPlaneShape shape = in_plane_shape(s);
        const auto add = [&](int row, bool round, const Eigen::Matrix<double, 6, 1>& value, double factor) {
            for (int i = 0; i < 2; ++i)
                strain(row, (round ? 2 : 0) + i) += factor * value[i];
            for (int i = 0; i < 4; ++i)
                strain(row, kept + (round ? 4 : 0) + i) += factor * value[2 + i];
        };
        strain.setZero();
        add(0, false, shape.slope, 1.0 / h);
        add(1, false, shape.value, 1.0 / r);
        if (k > 0) {
            add(1, true, shape.value, n / r);
            add(2, false, shape.value, -n / r);
            add(2, true, shape.slope, 1.0 / h);
            add(2, true, shape.value, -1.0 / r);
        }
        const Eigen::Matrix<double, points, 1> at_points = gauss5_lagrange(s);
        for (int row = 0; row < (k == 0 ? 2 : 3); ++row)
            for (int i = 0; i < points; ++i)
                strain(row, 4 + row * points + i) = at_points[i];
        multiply(stress, law, strain);
        multiply_transposed(share, strain, stress);
        full += weight * share;
    }
    const Eigen::MatrixXd inner = full.block(kept, kept, bubbles, bubbles);
    const Eigen::MatrixXd coupling = full.block(kept, 0, bubbles, kept);
    const Eigen::MatrixXd followed = inner.llt().solve(coupling);
    Eigen::MatrixXd taken_off(kept, kept);
    multiply_transposed(taken_off, coupling, followed);
    Eigen::MatrixXd rest = full.topLeftCorner(kept, kept) - taken_off;
    rest = (0.5 * (rest + rest.transpose())).eval();
    return {rest.bottomRightCorner<strains, strains>(), rest.bottomLeftCorner<strains, 4>(),
            rest.topLeftCorner<4, 4>()};
}

int RingElement::column(int part) const {
    return (part / 2) * m_per_node + (part % 2) * m_basis->nodes();
}

int RingElement::end(int part, int k) const {
    return (part % 2) * m_per_node + 2 * m_basis->nodes() + (part / 2) * m_basis->harmonics() + k;
}

/// The strains of `q`, their forces per harmonic; returns the energy of the membrane.
double RingElement::find_forces(double C, const Eigen::VectorXd& q, Work& work) const {
    const int n = m_basis->nodes();
    // Only differences of w bend: what is common is taken out first, against its rounding.
    for (int part = 0; part < 4; ++part)
        work.w.col(part) = q.segment(column(part), n);
    const double common = q[0];
    work.w.col(0).array() -= common;
    work.w.col(2).array() -= common;
    for (int g = 0; g < points; ++g) {
        // [node] of w' and w/r, to the angles
        work.slope.col(g).noalias() = m_basis->values() * (work.w * m_slope.row(g).transpose());
        work.round.col(g).noalias() = m_basis->slopes() * (work.w * m_hermite.row(g).transpose());
        work.angles[0] = 0.5 * work.slope.col(g).cwiseAbs2();
        work.added.row(g).transpose().noalias() = m_basis->to_cosines() * work.angles[0];
        work.angles[0] = 0.5 * work.round.col(g).cwiseAbs2();
        work.added.row(points + g).transpose().noalias() = m_basis->to_cosines() * work.angles[0];
        work.angles[0] = work.slope.col(g).cwiseProduct(work.round.col(g));
        work.added.row(2 * points + g).transpose().noalias() = m_basis->to_sines() * work.angles[0];
    }
    double energy = 0.0;
    for (int k = 0; k <= m_basis->harmonics(); ++k) {
        for (int part = 0; part < 4; ++part)
            work.ends(part, k) = k == 0 && part > 1 ? 0.0 : q[end(part, k)];
        const Harmonic& harmonic = m_membrane[static_cast<std::size_t>(k)];
        work.forces.col(k).noalias() =
            C * (harmonic.added * work.added.col(k) + harmonic.across * work.ends.col(k));
        work.at_ends.col(k).noalias() =
            C * (harmonic.across.transpose() * work.added.col(k) + harmonic.ends * work.ends.col(k));
        energy +=
            0.5 * (work.added.col(k).dot(work.forces.col(k)) + work.ends.col(k).dot(work.at_ends.col(k)));
    }
    return energy;
}

/// Forces at the angles, of those of the harmonics.
void RingElement::pull_apart(Work& work) const {
    multiply_both_transposed(work.pull.leftCols(2 * points), m_basis->to_cosines(),
                             work.forces.topRows(2 * points));
    multiply_both_transposed(work.pull.rightCols(points), m_basis->to_sines(),
                             work.forces.bottomRows(points));
}

void RingElement::add_forces(Work& work, Eigen::VectorXd& force) const {
    const int n = m_basis->nodes();
    for (int g = 0; g < points; ++g) {
        const auto slope = work.slope.col(g);
        const auto round = work.round.col(g);
        const auto shear = work.pull.col(2 * points + g);
        work.angles[0] = work.pull.col(g).cwiseProduct(slope) + shear.cwiseProduct(round);
        work.angles[1] = work.pull.col(points + g).cwiseProduct(round) + shear.cwiseProduct(slope);
        for (int part = 0; part < 4; ++part) {
            force.segment(column(part), n).noalias() +=
                m_slope(g, part) * (m_basis->values().transpose() * work.angles[0]);
            force.segment(column(part), n).noalias() +=
                m_hermite(g, part) * (m_basis->slopes().transpose() * work.angles[1]);
        }
    }
    for (int k = 0; k <= m_basis->harmonics(); ++k)
        for (int part = 0; part < (k == 0 ? 2 : 4); ++part)
            force[end(part, k)] += work.at_ends(part, k);
}

/// Conjugates of what bends, in `work.bending`; returns the energy.
double RingElement::find_bending(double D, const Eigen::VectorXd& q, Work& work) const {
    const int n = m_basis->nodes();
    const double h = m_outer - m_inner;
    const auto at_inner = q.segment(column(0), n);
    const auto slope = q.segment(column(1), n);
    work.w.col(0) = at_inner;
    work.w.col(1) = slope;
    work.w.col(2) = (q.segment(column(2), n) - at_inner) - h * slope;
    work.w.col(3) = q.segment(column(3), n) - slope;
    multiply(work.bent, m_basis->coefficients(), work.w);
    for (int k = 0; k < n; ++k)
        work.bending.row(k).noalias() = D * (work.bent.row(k) * m_bending_apart[static_cast<std::size_t>(k)]);
    return 0.5 * work.bent.cwiseProduct(work.bending).sum();
}

/// Adds their forces.
void RingElement::add_bending(Work& work, Eigen::VectorXd& force) const {
    const int n = m_basis->nodes();
    multiply_transposed(work.w, m_basis->coefficients(), work.bending);
    force.segment(column(0), n) += work.w.col(0) - work.w.col(2);
    force.segment(column(1), n) += work.w.col(1) - (m_outer - m_inner) * work.w.col(2) - work.w.col(3);
    force.segment(column(2), n) += work.w.col(2);
    force.segment(column(3), n) += work.w.col(3);
}

double RingElement::energy(double D, double C, const Eigen::VectorXd& q, Work& work) const {
    return find_bending(D, q, work) + find_forces(C, q, work);
}

double RingElement::differentiate(double D, double C, const Eigen::VectorXd& q, Work& work,
                                  Eigen::VectorXd& force) const {
    force.setZero();
    const double bending = find_bending(D, q, work);
    add_bending(work, force);
    const double membrane = find_forces(C, q, work);
    pull_apart(work);
    add_forces(work, force);
    return bending + membrane;
}

/// Derivatives of the strains by w and w', and the same times their stiffness.
void RingElement::find_derivatives(double C, Work& work) const {
    const Eigen::Index n = m_basis->nodes();
    const int count = m_basis->harmonics() + 1;
    for (int g = 0; g < points; ++g) {
        const auto product = [&](int which, const Eigen::MatrixXd& to, const auto& factor,
                                 const Eigen::MatrixXd& functions) {
            work.scaled = factor.asDiagonal() * functions;
            multiply(work.harmonics[which], to, work.scaled);
        };
        product(0, m_basis->to_cosines(), work.slope.col(g), m_basis->values());
        product(1, m_basis->to_cosines(), work.round.col(g), m_basis->slopes());
        product(2, m_basis->to_sines(), work.round.col(g), m_basis->values());
        product(3, m_basis->to_sines(), work.slope.col(g), m_basis->slopes());
        for (Eigen::Index part = 0; part < 4; ++part)
            for (Eigen::Index j = 0; j < n; ++j) {
                auto by = work.by_w.col(part * n + j);
                for (Eigen::Index k = 0; k < count; ++k) {
                    const Eigen::Index row = k * strains + g;
                    by[row] = m_slope(g, part) * work.harmonics[0](k, j);
                    by[row + points] = m_hermite(g, part) * work.harmonics[1](k, j);
                    by[row + 2 * points] = m_slope(g, part) * work.harmonics[2](k, j) +
                                           m_hermite(g, part) * work.harmonics[3](k, j);
                }
            }
    }
    for (int k = 0; k < count; ++k)
        multiply(work.stressed.middleRows(k * strains, strains),
                 m_membrane[static_cast<std::size_t>(k)].added, work.by_w.middleRows(k * strains, strains));
    work.stressed *= C;
}

void RingElement::add_geometric(double squeeze, Work& work) const {
    const Eigen::Index n = m_basis->nodes();
    const Eigen::MatrixXd& values = m_basis->values();
    const Eigen::MatrixXd& slopes = m_basis->slopes();
    if (squeeze < 1.0)
        for (Eigen::Index i = 0; i < work.pull.rows(); ++i)
            for (int g = 0; g < points; ++g) {
                double& radial = work.pull(i, g);
                double& hoop = work.pull(i, points + g);
                double& shear = work.pull(i, 2 * points + g);
                const double middle = 0.5 * (radial + hoop);
                const double reach = std::hypot(0.5 * (radial - hoop), shear);
                const double high = middle + reach;
                const double low = middle - reach;
                if (low >= 0.0) continue;
                if (high <= 0.0) {
                    radial *= squeeze;
                    hoop *= squeeze;
                    shear *= squeeze;
                    continue;
                }
                // all of the tension, high times its direction's projector (N − low 1)/(high − low)
                const double share = high / (high - low);
                radial = share * (radial - low) + squeeze * (radial - share * (radial - low));
                hoop = share * (hoop - low) + squeeze * (hoop - share * (hoop - low));
                shear *= share + squeeze * (1.0 - share);
            }
    for (int g = 0; g < points; ++g) {
        work.scaled = work.pull.col(g).asDiagonal() * values;
        multiply_transposed(work.products[0], values, work.scaled);
        work.scaled = work.pull.col(points + g).asDiagonal() * slopes;
        multiply_transposed(work.products[1], slopes, work.scaled);
        work.scaled = work.pull.col(2 * points + g).asDiagonal() * values;
        multiply_transposed(work.products[2], slopes, work.scaled); // [of w/r][of w']
        for (Eigen::Index a = 0; a < 4; ++a)
            for (Eigen::Index b = 0; b < 4; ++b)
                work.ww.block(a * n, b * n, n, n) +=
                    m_slope(g, a) * m_slope(g, b) * work.products[0] +
                    m_hermite(g, a) * m_hermite(g, b) * work.products[1] +
                    m_hermite(g, a) * m_slope(g, b) * work.products[2] +
                    m_slope(g, a) * m_hermite(g, b) * work.products[2].transpose();
    }
}

double RingElement::assemble(double D, double C, const Eigen::VectorXd& q, double squeeze, Work& work,
                             Eigen::VectorXd& force, Eigen::MatrixXd& stiffness) const {
    const Eigen::Index n = m_basis->nodes();
    const double energy = differentiate(D, C, q, work, force);
    find_derivatives(C, work);
    multiply_transposed(work.ww, work.by_w, work.stressed);
    work.ww += D * m_bending;
    add_geometric(squeeze, work);
    stiffness.setZero();
    for (int a = 0; a < 4; ++a)
        for (int b = 0; b < 4; ++b)
            stiffness.block(column(a), column(b), n, n) = work.ww.block(a * n, b * n, n, n);
    for (int k = 0; k <= m_basis->harmonics(); ++k) {
        const Harmonic& harmonic = m_membrane[static_cast<std::size_t>(k)];
        multiply_transposed(work.across, work.by_w.middleRows(k * strains, strains), harmonic.across);
        work.across *= C;
        const int parts = k == 0 ? 2 : 4;
        for (int part = 0; part < parts; ++part) {
            for (int a = 0; a < 4; ++a) {
                const auto coupling = work.across.col(part).segment(a * n, n);
                stiffness.block(column(a), end(part, k), n, 1) = coupling;
                stiffness.block(end(part, k), column(a), 1, n) = coupling.transpose();
            }
            for (int other = 0; other < parts; ++other)
                stiffness(end(part, k), end(other, k)) = C * harmonic.ends(part, other);
        }
    }
    return energy;
}

} // namespace valve::plate
