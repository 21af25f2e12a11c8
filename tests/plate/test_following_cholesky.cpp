#include <support/catch.hpp>
#include <valve/plate/detail/following_cholesky.hpp>

#include <Eigen/Cholesky>

#include <cmath>
#include <cstddef>
#include <vector>

using namespace valve::plate;

namespace {

/// A chain of plates: stations of ten rows, each coupled to the next, positive definite; and the same in
/// full.
BlockTridiagonal chain(int stations, Eigen::MatrixXd& full) {
    constexpr int rows = 10;
    BlockTridiagonal matrix(std::vector<int>(static_cast<std::size_t>(stations), rows));
    full.setZero(matrix.rows(), matrix.rows());
    const auto value = [](int i, int j) { return std::sin(3.0 * i + 1.7 * j) + std::cos(1.3 * i * j + 0.2); };
    for (int k = 0; k < stations; ++k) {
        for (int i = 0; i < rows; ++i)
            for (int j = 0; j < rows; ++j) {
                matrix.diagonal(k)(i, j) = 0.5 * (value(i + k, j) + value(j + k, i)) + (i == j ? 40.0 : 0.0);
                if (k + 1 < stations) matrix.upper(k)(i, j) = value(i - k, 2 * j + 1);
            }
        const int at = matrix.offset(k);
        full.block(at, at, rows, rows) = matrix.diagonal(k);
        if (k + 1 == stations) break;
        full.block(at, at + rows, rows, rows) = matrix.upper(k);
        full.block(at + rows, at, rows, rows) = matrix.upper(k).transpose();
    }
    return matrix;
}

/// What a dense factorisation makes of it; rows that are not chosen keep what they have.
Eigen::VectorXd solved(Eigen::MatrixXd full, const std::vector<char>& chosen, const Eigen::VectorXd& right) {
    for (Eigen::Index i = 0; i < full.rows(); ++i) {
        if (chosen[static_cast<std::size_t>(i)]) continue;
        full.row(i).setZero();
        full.col(i).setZero();
        full(i, i) = 1.0;
    }
    return full.llt().solve(right);
}

} // namespace

TEST_CASE("rows that come and go without a factorisation solve what a dense one solves", "[plate]") {
    Eigen::MatrixXd full;
    BlockTridiagonal matrix = chain(4, full);
    FollowingCholesky cholesky(matrix);
    std::vector<char> chosen(static_cast<std::size_t>(matrix.rows()), 1);
    for (const std::size_t row : {3U, 17U, 24U})
        chosen[row] = 0;
    REQUIRE(cholesky.factor(matrix, chosen));
    const Eigen::VectorXd right = Eigen::VectorXd::LinSpaced(matrix.rows(), -1.0, 2.0);
    const auto check = [&] {
        Eigen::VectorXd x = right;
        cholesky.solve(x);
        const Eigen::VectorXd expected = solved(full, chosen, right);
        CHECK((x - expected).norm() < 1e-12 * expected.norm()); // rounding of a well-conditioned system
    };
    // One at a time, for ten rows a station: one goes, and is back; one comes, and is gone; another comes.
    for (const std::size_t row : {12U, 12U, 24U, 24U, 17U}) {
        chosen[row] = static_cast<char>(!chosen[row]);
        CAPTURE(row);
        REQUIRE(cholesky.follow(chosen));
        check();
    }
}

TEST_CASE("several rows at a time are followed, too many are not", "[plate]") {
    Eigen::MatrixXd full;
    chain(12, full);
    BlockTridiagonal matrix({60, 60}); // the same numbers in two stations
    for (int k = 0; k < 2; ++k)
        matrix.diagonal(k) = full.block(60 * k, 60 * k, 60, 60);
    matrix.upper(0) = full.block(0, 60, 60, 60);
    FollowingCholesky cholesky(matrix);
    std::vector<char> chosen(120, 1);
    for (std::size_t i = 0; i < chosen.size(); i += 7)
        chosen[i] = 0;
    REQUIRE(cholesky.factor(matrix, chosen));
    const Eigen::VectorXd right = Eigen::VectorXd::LinSpaced(120, 3.0, -2.0);
    for (const std::size_t row : {0U, 5U, 58U, 60U, 63U, 119U})
        chosen[row] = static_cast<char>(!chosen[row]);
    REQUIRE(cholesky.follow(chosen));
    Eigen::VectorXd x = right;
    cholesky.solve(x);
    const Eigen::VectorXd expected = solved(full, chosen, right);
    CHECK((x - expected).norm() < 1e-12 * expected.norm());
    chosen[7] = 1;
    CHECK_FALSE(cholesky.follow(chosen)); // seven: a factorisation costs less
    REQUIRE(cholesky.factor(matrix, chosen));
    x = right;
    cholesky.solve(x);
    CHECK((x - solved(full, chosen, right)).norm() < 1e-12 * expected.norm());
}

TEST_CASE("a row that comes and leaves no positive definite matrix is not followed", "[plate]") {
    Eigen::MatrixXd full;
    BlockTridiagonal matrix = chain(4, full);
    matrix.diagonal(1)(4, 4) = -1.0;
    FollowingCholesky cholesky(matrix);
    std::vector<char> chosen(40, 1);
    chosen[14] = 0;
    REQUIRE(cholesky.factor(matrix, chosen));
    chosen[14] = 1;
    CHECK_FALSE(cholesky.follow(chosen));
    CHECK_FALSE(cholesky.factor(matrix, chosen));
}
