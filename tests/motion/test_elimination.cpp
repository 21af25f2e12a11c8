#include <support/catch.hpp>
#include <valve/motion/detail/elimination.hpp>

#include <Eigen/Dense>

#include <cstddef>
#include <vector>

using valve::motion::detail::Elimination;

namespace {

/// I − γ J solved by Eigen's LU with full pivoting.
Eigen::VectorXd by_eigen(const Eigen::MatrixXd& jacobian, double gamma, const Eigen::VectorXd& right) {
    const Eigen::Index n = jacobian.rows();
    return (Eigen::MatrixXd::Identity(n, n) - gamma * jacobian).fullPivLu().solve(right);
}

/// The same by Elimination.
Eigen::VectorXd eliminated(Elimination& elimination, const Eigen::MatrixXd& jacobian, double gamma,
                           Eigen::VectorXd x) {
    elimination.set_gamma(gamma);
    REQUIRE(elimination.factorise(jacobian.data()));
    elimination.solve(x.data());
    return x;
}

/// Three unknowns a valve that meet each other and, by the last of them, two pressures that meet all; the
/// last unknown stands alone.
Eigen::MatrixXd of_valves(Eigen::Index valves) {
    const Eigen::Index n = 2 + 3 * valves + 1;
    Eigen::MatrixXd j = Eigen::MatrixXd::Zero(n, n);
    j.topLeftCorner(2, 2) << -3e4, 2e4, 1e4, -5e4;
    for (Eigen::Index v = 0; v < valves; ++v) {
        const auto at = static_cast<double>(v + 1);
        const Eigen::Index y = 2 + 3 * v;
        j.block(y, y, 3, 3) << 0.0, 30.0 * at, 0.0, -4e7 / at, -200.0, 3e8, 7e2 * at, -0.5, -9e3 * at;
        j(y + 2, 0) = 60.0 * at;
        j(y + 2, 1) = -55.0 * at;
        j(0, y + 2) = -1.0;
        j(1, y + 2) = 1.0;
    }
    return j;
}

} // namespace

TEST_CASE("what elimination solves is what Eigen's LU solves", "[motion][elimination]") {
    for (const Eigen::Index valves : {0, 1, 2, 4}) {
        const Eigen::MatrixXd j = of_valves(valves);
        const Eigen::VectorXd right = Eigen::VectorXd::LinSpaced(j.rows(), -1.0, 2.0);
        Elimination elimination(static_cast<std::size_t>(j.rows()));
        for (const double gamma : {1e-9, 1e-6, 1e-4, 1e-2}) {
            CAPTURE(valves, gamma);
            const Eigen::VectorXd expected = by_eigen(j, gamma, right);
            const Eigen::VectorXd found = eliminated(elimination, j, gamma, right);
            CHECK((found - expected).norm() < 1e-11 * expected.norm());
            CHECK(found(j.rows() - 1) == right(j.rows() - 1)); // it stands alone
        }
    }
}

TEST_CASE("elimination exchanges rows where the diagonal is none, and tells what is singular",
          "[motion][elimination]") {
    Eigen::MatrixXd j(3, 3); // I − J has zeros on its diagonal
    j << 1.0, -2.0, 0.0, -3.0, 1.0, -4.0, 0.0, -5.0, 1.0;
    const Eigen::VectorXd right = Eigen::VectorXd::LinSpaced(3, 1.0, 3.0);
    Elimination elimination(3);
    elimination.set_gamma(1.0);
    CHECK_FALSE(elimination.factorise(j.data())); // an odd matrix of this kind has no inverse
    j(2, 0) = -7.0;
    CHECK((eliminated(elimination, j, 1.0, right) - by_eigen(j, 1.0, right)).norm() < 1e-13);
}
