#include <support/catch.hpp>
#include <valve/plate/detail/element.hpp>

#include <cmath>
#include <numbers>
#include <random>
#include <stdexcept>

using namespace valve::plate;

namespace {

/// A deflected element with membrane and bending of like size.
ElementVector sample(unsigned seed) {
    std::mt19937 random(seed);
    std::uniform_real_distribution<double> unit(-1.0, 1.0);
    ElementVector q;
    q << 1e-4 * unit(random), 0.1 * unit(random), 1e-6 * unit(random), 1e-4 * unit(random),
        0.1 * unit(random), 1e-6 * unit(random);
    return q;
}

constexpr double D = 0.15;
constexpr double C = 4e7;

double energy(const Element& element, const ElementVector& q) {
    return element.bending_energy(D, q) + element.membrane_energy(C, q);
}

} // namespace

TEST_CASE("an element's forces and tangent are the derivatives of its energy", "[plate]") {
    const Element element(8e-3, 8.4e-3, 0.3);
    // Central differences; steps sized to each unknown, error of second order in the step.
    ElementVector step;
    step << 1e-9, 1e-6, 1e-11, 1e-9, 1e-6, 1e-11;
    for (unsigned seed = 1; seed <= 20; ++seed) {
        CAPTURE(seed);
        const ElementVector q = sample(seed);
        ElementVector force = ElementVector::Zero();
        ElementMatrix tangent = ElementMatrix::Zero();
        const double value =
            element.add_bending(D, q, force, tangent) + element.add_membrane(C, q, 1.0, force, tangent);
        CHECK_THAT(value, WithinRel(energy(element, q), 1e-12));
        for (Eigen::Index i = 0; i < 6; ++i) {
            CAPTURE(i);
            ElementVector up = q;
            ElementVector down = q;
            up[i] += step[i];
            down[i] -= step[i];
            const double slope = (energy(element, up) - energy(element, down)) / (2.0 * step[i]);
            const double scale = std::abs(force[i]) + 1e-6 * value / step[i];
            CHECK_THAT(force[i], WithinAbs(slope, 1e-5 * scale));

            ElementVector force_up = ElementVector::Zero();
            ElementVector force_down = ElementVector::Zero();
            ElementMatrix unused = ElementMatrix::Zero();
            element.add_bending(D, up, force_up, unused);
            element.add_membrane(C, up, 1.0, force_up, unused);
            element.add_bending(D, down, force_down, unused);
            element.add_membrane(C, down, 1.0, force_down, unused);
            for (Eigen::Index j = 0; j < 6; ++j) {
                const double change = (force_up[j] - force_down[j]) / (2.0 * step[i]);
                CHECK_THAT(tangent(j, i), WithinAbs(change, 1e-6 * std::sqrt(tangent(i, i) * tangent(j, j))));
            }
        }
    }
}

TEST_CASE("the convex tangent has no negative eigenvalue", "[plate]") {
    const Element element(8e-3, 8.4e-3, 0.3);
    for (unsigned seed = 1; seed <= 50; ++seed) {
        ElementVector q = sample(seed);
        q[2] = 2e-6; // squeezed radially, so that the exact tangent is indefinite
        q[5] = -2e-6;
        ElementVector force = ElementVector::Zero();
        ElementMatrix tangent = ElementMatrix::Zero();
        element.add_membrane(C, q, 0.0, force, tangent);
        for (int trial = 0; trial < 20; ++trial) {
            const ElementVector x = sample(1000 * seed + static_cast<unsigned>(trial));
            const ElementVector scaled =
                tangent.diagonal().cwiseAbs().cwiseMax(1e-300).cwiseSqrt().cwiseInverse();
            const ElementVector y = scaled.cwiseProduct(x);
            CHECK(y.dot(tangent * y) >= -1e-12 * x.squaredNorm());
        }
    }
}

TEST_CASE("an element carries a uniform pressure whole", "[plate]") {
    const Element element(8e-3, 9e-3, 0.3);
    const Eigen::Vector4d load = element.pressure_load(2e5, 2e5);
    // Gauss rule exact for the polynomial, rounding only.
    CHECK_THAT(load[0] + load[2], WithinRel(2e5 * std::numbers::pi * (81e-6 - 64e-6), 1e-13));
}

TEST_CASE("a rigid lift strains nothing", "[plate]") {
    const Element element(8e-3, 9e-3, 0.3);
    ElementVector q = ElementVector::Zero();
    q[0] = q[3] = 1e-3;
    // Against the energy of the same height bent: rounding only.
    CHECK(std::abs(energy(element, q)) <
          1e-14 * energy(element, (ElementVector() << 0, 0, 0, 1e-3, 0, 0).finished()));
}

TEST_CASE("an element refuses radii and materials that make no plate", "[plate]") {
    CHECK_THROWS_AS(Element(0.0, 1e-3, 0.3), std::invalid_argument);
    CHECK_THROWS_AS(Element(2e-3, 1e-3, 0.3), std::invalid_argument);
    CHECK_THROWS_AS(Element(1e-3, 2e-3, 0.5), std::invalid_argument);
}
