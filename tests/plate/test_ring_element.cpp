#include <support/catch.hpp>
#include <valve/plate/detail/element.hpp>
#include <valve/plate/detail/fourier_element.hpp>
#include <valve/plate/detail/ring_element.hpp>

#include <Eigen/Eigenvalues>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <random>
#include <stdexcept>

using namespace valve::plate;

namespace {

const Material steel{};
constexpr double thickness = 0.2e-3;
constexpr double inner = 8e-3;
constexpr double outer = 8.8e-3;
const double D = bending_stiffness(steel, thickness);
const double C = membrane_stiffness(steel, thickness);

/// What a deflection, a slope and a displacement in the plane are like, for the unknowns of an element.
Eigen::VectorXd sizes(const RingElement& element, const RingBasis& basis) {
    Eigen::VectorXd size(element.unknowns());
    for (Eigen::Index i = 0; i < size.size(); ++i) {
        const Eigen::Index place = i % element.per_node();
        size[i] = place < basis.nodes() ? 1e-4 : place < 2 * basis.nodes() ? 2e-2 : 1e-6;
    }
    return size;
}

Eigen::VectorXd sample(const Eigen::VectorXd& size) {
    std::mt19937 random(1);
    std::uniform_real_distribution<double> unit(-1.0, 1.0);
    return size.unaryExpr([&](double s) { return s * unit(random); });
}

/// The unknowns of a shape that is the same all round.
Eigen::VectorXd round_shape(const RingElement& element, const RingBasis& basis, const ElementVector& q) {
    Eigen::VectorXd ring = Eigen::VectorXd::Zero(element.unknowns());
    for (int side = 0; side < 2; ++side) {
        const int first = side * element.per_node();
        ring.segment(first, basis.nodes()).setConstant(q[3 * side]);
        ring.segment(first + basis.nodes(), basis.nodes()).setConstant(q[3 * side + 1]);
        ring[first + 2 * basis.nodes()] = q[3 * side + 2];
    }
    return ring;
}

ElementVector bent_sample() {
    ElementVector q;
    q << 3e-5, 0.08, -2e-6, 1e-4, 0.1, -3e-6;
    return q;
}

} // namespace

TEST_CASE("functions round half a pitch are 1 at their node and 0 at the others", "[plate][ring]") {
    const RingBasis basis(3, 5, 7);
    for (int node = 0; node < basis.nodes(); ++node) {
        Eigen::VectorXd harmonics(basis.nodes());
        for (int k = 0; k < basis.nodes(); ++k)
            harmonics[k] = std::cos(3 * k * basis.angle(node));
        const Eigen::VectorXd values = basis.coefficients().transpose() * harmonics;
        for (int j = 0; j < basis.nodes(); ++j)
            CHECK_THAT(values[j], WithinAbs(j == node ? 1.0 : 0.0, 1e-14)); // rounding of ten sums
    }
    CHECK_THAT(basis.shares(0.3).sum(), WithinRel(0.3, 1e-14));
    CHECK_THAT(basis.shares(1.0)[1], WithinRel(1.0 / 5.0, 1e-14)); // the trapezoidal rule's weight
    CHECK_THROWS_AS(RingBasis(0, 5, 7), std::invalid_argument);
    CHECK_THROWS_AS(RingBasis(3, 5, 11), std::invalid_argument);
}

TEST_CASE("force and tangent of a ring element are the derivatives of its energy", "[plate][ring]") {
    const RingBasis basis(3, 4, 6);
    const RingElement element(inner, outer, steel.poisson_ratio, basis);
    RingElement::Work work(basis);
    const Eigen::VectorXd size = sizes(element, basis);
    const Eigen::VectorXd q = sample(size);
    const Eigen::Index n = q.size();
    Eigen::VectorXd force(n);
    Eigen::VectorXd up(n);
    Eigen::VectorXd down(n);
    Eigen::MatrixXd tangent(n, n);
    const double energy = element.assemble(D, C, q, 1.0, work, force, tangent);
    CHECK_THAT(element.energy(D, C, q, work), WithinRel(energy, 1e-14));
    for (Eigen::Index i = 0; i < n; ++i) {
        const double step = 1e-3 * size[i];
        Eigen::VectorXd moved = q;
        moved[i] += step;
        const double above = element.differentiate(D, C, moved, work, up);
        moved[i] -= 2.0 * step;
        const double below = element.differentiate(D, C, moved, work, down);
        // Central differences of a quartic: a millionth of its third derivatives is left.
        CHECK_THAT((above - below) / (2.0 * step) * size[i], WithinAbs(force[i] * size[i], 1e-6 * energy));
        const double left = ((up - down) / (2.0 * step) - tangent.col(i)).cwiseAbs().maxCoeff();
        CHECK(left < 1e-6 * tangent.col(i).cwiseAbs().maxCoeff());
    }
    CHECK((tangent - tangent.transpose()).cwiseAbs().maxCoeff() < 1e-14 * tangent.cwiseAbs().maxCoeff());

    element.assemble(D, C, q, 0.0, work, force, tangent);
    const Eigen::MatrixXd scaled = size.asDiagonal() * tangent * size.asDiagonal();
    const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> convex(scaled);
    CHECK(convex.eigenvalues().minCoeff() > -1e-12 * convex.eigenvalues().maxCoeff()); // rounding
}

TEST_CASE("a ring element that bends evenly is the axisymmetric element", "[plate][ring]") {
    const RingBasis basis(4, 5, 5);
    const RingElement element(inner, outer, steel.poisson_ratio, basis);
    const Element even(inner, outer, steel.poisson_ratio);
    RingElement::Work work(basis);
    const ElementVector q = bent_sample();
    CHECK_THAT(element.energy(D, C, round_shape(element, basis, q), work),
               WithinRel(even.bending_energy(D, q) + even.membrane_energy(C, q), 1e-12));
}

TEST_CASE("small waves of a bent ring element are those of the Fourier element", "[plate][ring]") {
    constexpr int waves = 3;
    const RingBasis basis(waves, 4, 4);
    const RingElement element(inner, outer, steel.poisson_ratio, basis);
    RingElement::Work work(basis);
    const Eigen::VectorXd q = round_shape(element, basis, bent_sample());
    Eigen::VectorXd force(q.size());
    Eigen::MatrixXd tangent(q.size(), q.size());
    element.assemble(D, C, q, 1.0, work, force, tangent);
    for (int k = 1; k <= 3; ++k) {
        CAPTURE(k);
        // columns: w, w', u, v at the inner and the outer node
        Eigen::MatrixXd motions = Eigen::MatrixXd::Zero(q.size(), 8);
        for (int side = 0; side < 2; ++side) {
            const int first = side * element.per_node();
            for (int j = 0; j < basis.nodes(); ++j) {
                motions(first + j, 4 * side) = std::cos(k * waves * basis.angle(j));
                motions(first + basis.nodes() + j, 4 * side + 1) = motions(first + j, 4 * side);
            }
            motions(first + 2 * basis.nodes() + k, 4 * side + 2) = 1.0;
            motions(first + 2 * basis.nodes() + basis.harmonics() + k, 4 * side + 3) = 1.0;
        }
        const BentFourierElement small(inner, outer, k * waves, steel.poisson_ratio);
        const BentFourierElement::Matrix expected = small.tangent(D, C, small.bent(bent_sample()));
        const Eigen::MatrixXd found = motions.transpose() * tangent * motions;
        for (Eigen::Index i = 0; i < 8; ++i)
            for (Eigen::Index j = 0; j < 8; ++j) // strains at five points in place of eight
                CHECK_THAT(found(i, j),
                           WithinAbs(expected(i, j), 1e-5 * std::sqrt(expected(i, i) * expected(j, j))));
    }
}

TEST_CASE("a short ring element that tilts in waves keeps its two ends in balance", "[plate][ring]") {
    const RingBasis basis(2, 4, 4);
    const double width = 1e-5;
    const RingElement element(12.64e-3, 12.64e-3 + width, 0.3, basis);
    Eigen::VectorXd q = Eigen::VectorXd::Zero(element.unknowns());
    const int n = basis.nodes();
    for (int j = 0; j < n; ++j) {
        const double wave = std::cos(basis.waves() * basis.angle(j));
        const double slope = 0.03 + 0.01 * wave;
        q[j] = 7e-4 + 6e-5 * wave;
        q[j + n] = q[element.per_node() + n + j] = slope;
        q[element.per_node() + j] = q[j] + width * slope; // as straight as its numbers can be
    }
    RingElement::Work work(basis);
    Eigen::VectorXd force(element.unknowns());
    element.differentiate(D, 0.0, q, work, force);
    const auto at_inner = force.head(n);
    const auto at_outer = force.segment(element.per_node(), n);
    // The last digits of w are worth micronewtons over so short a way, but not to the element as a whole,
    // whose waves alone bend it.
    CHECK(at_outer.cwiseAbs().maxCoeff() > 1e-7);
    CHECK(std::abs(at_inner.sum() + at_outer.sum()) < 1e-11);
}
