#include <support/catch.hpp>
#include <valve/plate/detail/block_cholesky.hpp>

#include <Eigen/Cholesky>

#include <limits>
#include <random>

using namespace valve::plate;

namespace {

/// A random positive definite matrix of the pattern, and the same in full.
BlockTridiagonal random_matrix(const std::vector<int>& sizes, std::mt19937& random, Eigen::MatrixXd& full) {
    std::normal_distribution<double> normal;
    BlockTridiagonal matrix(sizes);
    full.setZero(matrix.rows(), matrix.rows());
    for (int k = 0; k < matrix.stations(); ++k) {
        Eigen::MatrixXd& d = matrix.diagonal(k);
        d = d.unaryExpr([&](double) { return normal(random); });
        d = (d * d.transpose()).eval();
        d.diagonal().array() += 20.0;
        full.block(matrix.offset(k), matrix.offset(k), matrix.size(k), matrix.size(k)) = d;
        if (k + 1 == matrix.stations()) break;
        Eigen::MatrixXd& u = matrix.upper(k);
        u = u.unaryExpr([&](double) { return normal(random); });
        full.block(matrix.offset(k), matrix.offset(k + 1), matrix.size(k), matrix.size(k + 1)) = u;
        full.block(matrix.offset(k + 1), matrix.offset(k), matrix.size(k + 1), matrix.size(k)) =
            u.transpose();
    }
    return matrix;
}

} // namespace

TEST_CASE("the block factorisation solves what a dense one solves, on any choice of rows", "[plate]") {
    std::mt19937 random(7);
    std::bernoulli_distribution keep(0.7);
    Eigen::MatrixXd full;
    const BlockTridiagonal matrix = random_matrix({3, 1, 5, 4, 4, 13, 2, 10}, random, full);
    BlockCholesky cholesky(matrix);
    for (int trial = 0; trial < 50; ++trial) {
        std::vector<char> chosen(static_cast<std::size_t>(matrix.rows()));
        for (char& c : chosen)
            c = static_cast<char>(keep(random));
        REQUIRE(cholesky.factor(matrix, chosen));

        Eigen::MatrixXd reduced = full;
        const Eigen::VectorXd right = Eigen::VectorXd::LinSpaced(matrix.rows(), -1.0, 2.0);
        Eigen::VectorXd expected = right;
        for (Eigen::Index i = 0; i < matrix.rows(); ++i) {
            if (chosen[static_cast<std::size_t>(i)]) continue;
            reduced.row(i).setZero();
            reduced.col(i).setZero();
            reduced(i, i) = 1.0;
        }
        expected = reduced.llt().solve(expected);
        Eigen::VectorXd x = right;
        cholesky.solve(x);
        CHECK((x - expected).norm() < 1e-12 * expected.norm()); // rounding of a well-conditioned system
    }
}

TEST_CASE("the product is that of the full matrix where much of the vector is zero too", "[plate]") {
    std::mt19937 random(7);
    Eigen::MatrixXd full;
    const BlockTridiagonal matrix = random_matrix({3, 1, 5, 4, 4, 13, 2, 10}, random, full);
    for (const double share : {0.0, 0.1, 0.5, 1.0}) {
        std::bernoulli_distribution keep(share);
        Eigen::VectorXd x = Eigen::VectorXd::LinSpaced(matrix.rows(), -1.0, 2.0);
        x = x.unaryExpr([&](double value) { return keep(random) ? value : 0.0; }).eval();
        Eigen::VectorXd product(matrix.rows());
        matrix.multiply(x, product);
        CHECK((product - full * x).norm() <= 1e-14 * full.norm() * x.norm()); // rounding
    }
}

TEST_CASE("a matrix that is not positive definite is refused", "[plate]") {
    std::mt19937 random(7);
    Eigen::MatrixXd full;
    BlockTridiagonal matrix = random_matrix({2, 3}, random, full);
    matrix.diagonal(1)(2, 2) = -1.0;
    BlockCholesky cholesky(matrix);
    std::vector<char> chosen(5, 1);
    CHECK_FALSE(cholesky.factor(matrix, chosen));
    matrix.diagonal(1)(2, 2) = std::numeric_limits<double>::quiet_NaN();
    CHECK_FALSE(cholesky.factor(matrix, chosen));
    chosen[4] = 0;
    CHECK(cholesky.factor(matrix, chosen));
}
