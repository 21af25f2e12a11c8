#include <valve/plate/detail/fourier_element.hpp>
#include <valve/plate/detail/ring_element.hpp>
#include <valve/plate/detail/shape.hpp>
#include <valve/plate/detail/small_product.hpp>

#include <Eigen/Cholesky>
#include <Eigen/Eigenvalues>

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
    multiply_small(a.rows(), a.cols(), b.cols(), {a.data(), 1, a.outerStride()},
                   {b.data(), 1, b.outerStride()}, {to.data(), 1, to.outerStride()});
}

/// to = a bᵀ.
void multiply_by_transposed(To to, From a, From b) {
    multiply_small(a.rows(), a.cols(), b.rows(), {a.data(), 1, a.outerStride()},
                   {b.data(), b.outerStride(), 1}, {to.data(), 1, to.outerStride()});
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

    Eigen::MatrixXd of_harmonics(M + 1, M + 1);
    for (int i = 0; i <= M; ++i)
        for (int k = 0; k <= M; ++k)
            of_harmonics(i, k) = i % M == 0 ? 0.0 : -k * waves * std::sin(pi * k * i / M);
    m_slopes_at_nodes.resize(M + 1, M + 1);
    multiply(m_slopes_at_nodes, of_harmonics, m_coefficients);

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
    m_coefficients_by_node = m_coefficients.transpose();
    m_values.resize(Q + 1, M + 1);
    m_slopes.resize(Q + 1, M + 1);
    multiply(m_values, cosines, m_coefficients);
    multiply(m_slopes, sines, m_coefficients);
    m_values_by_node = m_values.transpose();
    m_slopes_by_node = m_slopes.transpose();
    m_of_cosines = m_to_cosines.transpose();
    m_of_sines = m_to_sines.transpose();
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
    const Eigen::Index angles = basis.values().rows();
    const Eigen::Index count = basis.harmonics() + 1;
    w.setZero(n, 4);
    bent.setZero(n, 4);
    bending.setZero(n, 4);
    at_nodes.setZero(n, points);
    slope.setZero(angles, points);
    round.setZero(angles, points);
    at_angles.setZero(angles, points);
    sums.setZero(count, points);
    stretched.setZero(in_law, count);
    forces.setZero(in_law, count);
    pull.setZero(angles, strains);
    scaled.setZero(2 * points * n, angles);
    cosines.setZero(2 * points * n, count);
    sines.setZero(2 * points * n, count);
    by_w.setZero(4 * n, strains);
    all_roots.setZero(4 * n, rank(0) + (count - 1) * rank(1));
    coupling.setZero(4 * n, parts(1));
    pulled.setZero(angles, points * n);
    products.setZero(n * n, strains);
    blocks.setZero(n * n, 10);
    shears.setZero(n * n, 10);
    ww.setZero(4 * n, 4 * n);
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
    for (int b = 0, pair = 0; b < 4; ++b)
        for (int a = 0; a <= b; ++a, ++pair)
            for (int g = 0; g < points; ++g) {
                m_in_blocks(g, pair) = m_slope(g, a) * m_slope(g, b);
                m_in_blocks(points + g, pair) = m_hermite(g, a) * m_hermite(g, b);
                m_in_blocks(2 * points + g, pair) = m_hermite(g, a) * m_slope(g, b);
                m_shear_in_blocks(g, pair) = m_slope(g, a) * m_hermite(g, b);
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
        share.noalias() = strain.transpose() * stress;
        full += weight * share;
    }
    const Eigen::MatrixXd inner = full.block(kept, kept, bubbles, bubbles);
    const Eigen::MatrixXd coupling = full.block(kept, 0, bubbles, kept);
    const Eigen::MatrixXd followed = inner.llt().solve(coupling);
    Eigen::MatrixXd taken_off(kept, kept);
    taken_off.noalias() = coupling.transpose() * followed;
    Eigen::MatrixXd rest = full.topLeftCorner(kept, kept) - taken_off;
    rest = (0.5 * (rest + rest.transpose())).eval();
    Harmonic result;
    result.law << rest.bottomRightCorner<strains, strains>(), rest.bottomLeftCorner<strains, 4>(),
        rest.topRightCorner<4, strains>(), rest.topLeftCorner<4, 4>();
    const Eigen::SelfAdjointEigenSolver<Eigen::Matrix<double, strains, strains>> modes(
        rest.bottomRightCorner<strains, strains>());
    const Eigen::Index r = rank(k);
    result.across = rest.topRightCorner(parts(k), strains);
    const Eigen::VectorXd factors = modes.eigenvalues().tail(r).cwiseMax(0.0).cwiseSqrt();
    result.root = factors.asDiagonal() * modes.eigenvectors().rightCols(r).transpose();
    return result;
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
    // w' and w/r, to the angles
    multiply_by_transposed(work.at_nodes, work.w, m_slope);
    multiply(work.slope, m_basis->values(), work.at_nodes);
    multiply_by_transposed(work.at_nodes, work.w, m_hermite);
    multiply(work.round, m_basis->slopes(), work.at_nodes);
    const auto add = [&](int first, const Eigen::MatrixXd& to) {
        multiply(work.sums, to, work.at_angles);
        work.stretched.middleRows<points>(first) = work.sums.transpose();
    };
    work.at_angles = 0.5 * work.slope.cwiseAbs2();
    add(0, m_basis->to_cosines());
    work.at_angles = 0.5 * work.round.cwiseAbs2();
    add(points, m_basis->to_cosines());
    work.at_angles = work.slope.cwiseProduct(work.round);
    add(2 * points, m_basis->to_sines());
    for (int part = 0; part < 4; ++part) {
        const int first = part < 2 ? 0 : 1; // a round shape turns not
        const int count = m_basis->harmonics() + 1 - first;
        work.stretched.row(strains + part).tail(count) = q.segment(end(part, first), count).transpose();
    }
    for (int k = 0; k <= m_basis->harmonics(); ++k) {
        const Law& law = m_membrane[static_cast<std::size_t>(k)].law;
        Eigen::Matrix<double, in_law, 1> forces = Eigen::Matrix<double, in_law, 1>::Zero();
        for (Eigen::Index i = 0; i < in_law; ++i)
            forces += work.stretched(i, k) * law.col(i);
        work.forces.col(k) = C * forces;
    }
    return 0.5 * work.stretched.cwiseProduct(work.forces).sum();
}

/// Forces at the angles, of those of the harmonics.
void RingElement::pull_apart(Work& work) const {
    multiply_by_transposed(work.pull.leftCols<2 * points>(), m_basis->of_cosines(),
                           work.forces.topRows<2 * points>());
    multiply_by_transposed(work.pull.rightCols<points>(), m_basis->of_sines(),
                           work.forces.middleRows<points>(2 * points));
}

void RingElement::add_forces(Work& work, Eigen::VectorXd& force) const {
    const int n = m_basis->nodes();
    const auto shear = work.pull.rightCols<points>();
    work.at_angles = work.pull.leftCols<points>().cwiseProduct(work.slope) + shear.cwiseProduct(work.round);
    multiply(work.at_nodes, m_basis->values_by_node(), work.at_angles);
    multiply(work.w, work.at_nodes, m_slope);
    work.at_angles =
        work.pull.middleCols<points>(points).cwiseProduct(work.round) + shear.cwiseProduct(work.slope);
    multiply(work.at_nodes, m_basis->slopes_by_node(), work.at_angles);
    multiply(work.bent, work.at_nodes, m_hermite);
    for (int part = 0; part < 4; ++part)
        force.segment(column(part), n) += work.w.col(part) + work.bent.col(part);
    for (int part = 0; part < 4; ++part) {
        const int first = part < 2 ? 0 : 1;
        const int count = m_basis->harmonics() + 1 - first;
        force.segment(end(part, first), count) += work.forces.row(strains + part).tail(count).transpose();
    }
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
    multiply(work.w, m_basis->coefficients_by_node(), work.bending);
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

/// Harmonics of what the strains at the points change by with what is at a node.
void RingElement::find_functions(Work& work) const {
    const Eigen::Index n = m_basis->nodes();
    const auto scale = [&](Eigen::Index what, const Eigen::MatrixXd& by, const Eigen::MatrixXd& functions) {
        for (Eigen::Index i = 0; i < by.rows(); ++i)
            for (Eigen::Index g = 0; g < points; ++g)
                work.scaled.col(i).segment((what * points + g) * n, n) = by(i, g) * functions.col(i);
    };
    scale(0, work.slope, m_basis->values_by_node());
    scale(1, work.round, m_basis->slopes_by_node());
    multiply(work.cosines, work.scaled, m_basis->of_cosines());
    scale(0, work.round, m_basis->values_by_node());
    scale(1, work.slope, m_basis->slopes_by_node());
    multiply(work.sines, work.scaled, m_basis->of_sines());
}

/// Derivatives of the strains of a harmonic by w and w'.
void RingElement::find_derivatives(int k, Work& work) const {
    const Eigen::Index n = m_basis->nodes();
    const auto cosines = work.cosines.col(k);
    const auto sines = work.sines.col(k);
    for (Eigen::Index g = 0; g < points; ++g)
        for (Eigen::Index part = 0; part < 4; ++part) {
            const Eigen::Index at_slope = g * n;
            const Eigen::Index at_round = at_slope + points * n;
            const double slope = m_slope(g, part);
            const double hermite = m_hermite(g, part);
            const auto by = [&](Eigen::Index strain) { return work.by_w.col(strain).segment(part * n, n); };
            by(g) = slope * cosines.segment(at_slope, n);
            by(points + g) = hermite * cosines.segment(at_round, n);
            by(2 * points + g) = slope * sines.segment(at_slope, n) + hermite * sines.segment(at_round, n);
        }
}

/// Takes off from the forces at the angles what is compressive but for its share `squeeze`.
void RingElement::squeeze_pull(double squeeze, Work& work) const {
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
}

void RingElement::add_geometric(Work& work) const {
    const Eigen::Index n = m_basis->nodes();
    const auto multiply_functions = [&](int first, const Eigen::MatrixXd& by_node,
                                        const Eigen::MatrixXd& functions) {
        for (Eigen::Index g = 0; g < points; ++g)
            work.pulled.middleCols(g * n, n) = work.pull.col(first + g).asDiagonal() * functions;
        Eigen::Map<Eigen::MatrixXd> to(work.products.col(first).data(), n, points * n);
        multiply(to, by_node, work.pulled);
    };
    multiply_functions(0, m_basis->values_by_node(), m_basis->values());
    multiply_functions(points, m_basis->slopes_by_node(), m_basis->slopes());
    multiply_functions(2 * points, m_basis->slopes_by_node(), m_basis->values()); // [of w/r][of w']
    multiply(work.blocks, work.products, m_in_blocks);
    multiply(work.shears, work.products.rightCols<points>(), m_shear_in_blocks);
    for (Eigen::Index b = 0, pair = 0; b < 4; ++b)
        for (Eigen::Index a = 0; a <= b; ++a, ++pair) {
            const Eigen::Map<const Eigen::MatrixXd> block(work.blocks.col(pair).data(), n, n);
            const Eigen::Map<const Eigen::MatrixXd> shear(work.shears.col(pair).data(), n, n);
            work.ww.block(a * n, b * n, n, n) += block + shear.transpose();
        }
}

double RingElement::assemble(double D, double C, const Eigen::VectorXd& q, double squeeze, Work& work,
                             Eigen::VectorXd& force, Eigen::MatrixXd& stiffness) const {
    const Eigen::Index n = m_basis->nodes();
    const double energy = differentiate(D, C, q, work, force);
    find_functions(work);
    const Eigen::Index in_plane = m_basis->in_plane();
    for (Eigen::Index a : {2 * n, m_per_node + 2 * n}) // harmonics do not meet there
        for (Eigen::Index b : {2 * n, m_per_node + 2 * n})
            stiffness.block(a, b, in_plane, in_plane).setZero();
    Eigen::Index roots = 0;
    for (int k = 0; k <= m_basis->harmonics(); ++k) {
        const Harmonic& harmonic = m_membrane[static_cast<std::size_t>(k)];
        find_derivatives(k, work);
        multiply_by_transposed(work.all_roots.middleCols(roots, rank(k)), work.by_w, harmonic.root);
        roots += rank(k);
        multiply_by_transposed(work.coupling.leftCols(parts(k)), work.by_w, harmonic.across);
        for (int part = 0; part < parts(k); ++part) {
            for (int a = 0; a < 4; ++a) {
                const auto coupling = C * work.coupling.col(part).segment(a * n, n);
                stiffness.block(column(a), end(part, k), n, 1) = coupling;
                stiffness.block(end(part, k), column(a), 1, n) = coupling.transpose();
            }
            for (int other = 0; other < parts(k); ++other)
                stiffness(end(part, k), end(other, k)) = C * harmonic.law(strains + part, strains + other);
        }
    }
    for (Eigen::Index b = 0; b < 4; ++b)
        multiply_by_transposed(work.ww.block(0, b * n, (b + 1) * n, n), work.all_roots.topRows((b + 1) * n),
                               work.all_roots.middleRows(b * n, n));
    work.ww = C * work.ww + D * m_bending;
    if (squeeze < 1.0) squeeze_pull(squeeze, work);
    add_geometric(work);
    for (int b = 0; b < 4; ++b)
        for (int a = 0; a <= b; ++a) {
            const auto block = work.ww.block(a * n, b * n, n, n);
            stiffness.block(column(a), column(b), n, n) = block;
            if (a < b) stiffness.block(column(b), column(a), n, n) = block.transpose();
        }
    return energy;
}

} // namespace valve::plate
