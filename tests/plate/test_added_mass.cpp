#include <support/catch.hpp>
#include <valve/plate/detail/added_mass.hpp>
#include <valve/plate/detail/shape.hpp>

#include <cmath>
#include <functional>
#include <stdexcept>

using namespace valve::plate;

namespace {

/// 2T/(ρ ẇ²) of a disc that moves as w(r) cos nθ.
double moved(const AddedMass& oil, double radius, const std::function<double(double)>& w) {
    constexpr int pieces = 200;
    Eigen::VectorXd g = Eigen::VectorXd::Zero(oil.weights().size());
    for (int e = 0; e < pieces; ++e)
        for (std::size_t p = 0; p < gauss8_at.size(); ++p) {
            const double r = radius * (e + gauss8_at[p]) / pieces;
            g += radius / pieces * gauss8_weight[p] * w(r) * r * oil.shapes(r);
        }
    return g.dot(oil.weights().cwiseProduct(g));
}

} // namespace

TEST_CASE("a rigid disc in unbounded fluid moves 8/3 a³, and turns 16/45 a⁵", "[plate]") {
    // lamb_1932, arts. 102 and 108. One term is the exact solution; what is left is Gauss' rule on the root
    // at the rim.
    constexpr double a = 0.015;
    for (const int terms : {1, 40}) {
        CHECK_THAT(moved(AddedMass(a, 0, Surround::open, terms), a, [](double) { return 1.0; }),
                   WithinRel(8.0 / 3.0 * std::pow(a, 3), 2e-6));
        CHECK_THAT(moved(AddedMass(a, 1, Surround::open, terms), a, [](double r) { return r; }),
                   WithinRel(16.0 / 45.0 * std::pow(a, 5), 2e-6));
    }
}

TEST_CASE("a rigid piston in a baffle moves twice 8/3 a³ on its two sides", "[plate]") {
    // rayleigh_1896, § 302. The sum converges as terms⁻⁴.
    constexpr double a = 0.015;
    const auto still = [](double) { return 1.0; };
    const double exact = 16.0 / 3.0 * std::pow(a, 3);
    const double coarse = moved(AddedMass(a, 0, Surround::baffled, 10), a, still);
    const double fine = moved(AddedMass(a, 0, Surround::baffled, 40), a, still);
    CHECK_THAT(fine, WithinRel(exact, 2e-8));
    CHECK(coarse < fine);
    CHECK(fine < exact);
}

TEST_CASE("round a free edge the fluid escapes: it moves less than behind a baffle", "[plate]") {
    for (int n = 0; n <= 3; ++n) {
        CAPTURE(n);
        const auto w = [n](double r) { return std::pow(r, n) * (1.0 - 0.5 * r); };
        const double open = moved(AddedMass(1.0, n, Surround::open), 1.0, w);
        const double baffled = moved(AddedMass(1.0, n, Surround::baffled), 1.0, w);
        CHECK(open > 0.0);
        CHECK(open < baffled);
    }
}

TEST_CASE("a disc without radius, with fewer than no diameters or without terms is refused", "[plate]") {
    CHECK_THROWS_AS(AddedMass(0.0, 0, Surround::open), std::invalid_argument);
    CHECK_THROWS_AS(AddedMass(1.0, -1, Surround::open), std::invalid_argument);
    CHECK_THROWS_AS(AddedMass(1.0, 0, Surround::open, 0), std::invalid_argument);
}
