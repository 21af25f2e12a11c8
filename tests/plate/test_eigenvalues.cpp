#include <support/catch.hpp>
#include <valve/plate/detail/eigenvalues.hpp>

#include <cmath>
#include <numbers>
#include <stdexcept>
#include <vector>

using namespace valve::plate;

namespace {

using Sparse = Eigen::SparseMatrix<double>;

/// Masses in a row with springs of rate k between them, the first on a wall where `held`.
struct Chain {
    Chain(int masses, double k, bool held) : K(masses, masses), M(masses, masses) {
        std::vector<Eigen::Triplet<double>> springs;
        for (int i = 0; i < masses; ++i) {
            M.insert(i, i) = 1.0;
            if (i > 0 || held) springs.emplace_back(i, i, k);
            if (i == 0) continue;
            springs.emplace_back(i - 1, i - 1, k);
            springs.emplace_back(i, i - 1, -k);
            springs.emplace_back(i - 1, i, -k);
        }
        K.setFromTriplets(springs.begin(), springs.end());
    }

    Sparse K;
    Sparse M;
};

} // namespace

TEST_CASE("a chain of masses has the frequencies of the closed form", "[plate]") {
    constexpr int masses = 60;
    constexpr double k = 3e4;
    const Chain chain(masses, k, true);
    const Eigenpairs pairs = lowest_eigenpairs(chain.K, chain.M, 4, -1e-3 * k);
    REQUIRE(pairs.values.size() == 4);
    for (Eigen::Index i = 0; i < 4; ++i) {
        const double half = (2.0 * static_cast<double>(i) + 1.0) * std::numbers::pi / (4.0 * masses + 2.0);
        // The accuracy asked of Lanczos' method is 1e-10 of 1/(λ − shift).
        CHECK_THAT(pairs.values[i], WithinRel(4.0 * k * std::pow(std::sin(half), 2), 1e-8));
        const Eigen::VectorXd phi = pairs.vectors.col(i);
        const Eigen::VectorXd force = chain.K * phi;
        const Eigen::VectorXd inertia = chain.M * phi;
        CHECK((force - pairs.values[i] * inertia).norm() < 1e-7 * force.norm());
    }
}

TEST_CASE("a chain that nothing holds has one frequency of zero", "[plate]") {
    const Chain chain(40, 1.0, false);
    const Eigenpairs pairs = lowest_eigenpairs(chain.K, chain.M, 2, -1e-3);
    CHECK_THAT(pairs.values[0], WithinAbs(0.0, 1e-12));
    CHECK(pairs.values[1] > 1e-3);
}

TEST_CASE("unknowns without mass follow the others", "[plate]") {
    // Every second mass taken away leaves springs in series: a chain of half the rate.
    Chain chain(60, 2.0, true);
    for (int i = 0; i < 60; i += 2)
        chain.M.coeffRef(i, i) = 0.0;
    const Chain half(30, 1.0, true);
    const Eigenpairs pairs = lowest_eigenpairs(chain.K, chain.M, 3, -1e-3);
    const Eigenpairs expected = lowest_eigenpairs(half.K, half.M, 3, -1e-3);
    for (Eigen::Index i = 0; i < 3; ++i)
        CHECK_THAT(pairs.values[i], WithinRel(expected.values[i], 1e-8));
}

TEST_CASE("matrices that do not fit, a shift at zero and an idle unknown are refused", "[plate]") {
    const Chain chain(10, 1.0, true);
    const Chain longer(11, 1.0, true);
    CHECK_THROWS_AS(lowest_eigenpairs(chain.K, longer.M, 2, -1.0), std::invalid_argument);
    CHECK_THROWS_AS(lowest_eigenpairs(chain.K, chain.M, 0, -1.0), std::invalid_argument);
    CHECK_THROWS_AS(lowest_eigenpairs(chain.K, chain.M, 10, -1.0), std::invalid_argument);
    CHECK_THROWS_AS(lowest_eigenpairs(chain.K, chain.M, 2, 0.0), std::invalid_argument);
    CHECK_THROWS_AS(lowest_eigenpairs(Sparse(10, 10), Sparse(10, 10), 2, -1.0), std::invalid_argument);
}
