#include <support/catch.hpp>
#include <valve/stack/detail/box_quadratic.hpp>

#include <Eigen/LU>

#include <array>
#include <cmath>
#include <limits>
#include <random>

using namespace valve;
using namespace valve::stack;

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

/// A quadratic of three stations of two unknowns: bounded ones on both sides, on one, on none, held.
struct Sample {
    plate::BlockTridiagonal K{{2, 2, 2}};
    Eigen::VectorXd lower = Eigen::VectorXd::Constant(6, -infinity);
    Eigen::VectorXd upper = Eigen::VectorXd::Constant(6, infinity);
    Eigen::VectorXd origin = Eigen::VectorXd::Zero(6);
    Eigen::VectorXd gradient = Eigen::VectorXd::Zero(6);
    Eigen::VectorXd tolerance = Eigen::VectorXd::Constant(6, 1e-10);

    Eigen::MatrixXd dense() const {
        Eigen::MatrixXd full = Eigen::MatrixXd::Zero(6, 6);
        for (int k = 0; k < 3; ++k) {
            full.block(2 * k, 2 * k, 2, 2) = K.diagonal(k);
            if (k == 2) break;
            full.block(2 * k, 2 * k + 2, 2, 2) = K.upper(k);
            full.block(2 * k + 2, 2 * k, 2, 2) = K.upper(k).transpose();
        }
        return full;
    }
};

Sample random_sample(std::mt19937& random) {
    std::uniform_real_distribution<double> number(-1.0, 1.0);
    auto fill = [&](Eigen::MatrixXd& block) {
        for (Eigen::Index i = 0; i < block.size(); ++i)
            block.data()[i] = number(random);
    };
    Sample sample;
    for (int k = 0; k < 3; ++k) {
        fill(sample.K.diagonal(k));
        sample.K.diagonal(k) = (sample.K.diagonal(k) * sample.K.diagonal(k).transpose()).eval();
        sample.K.diagonal(k).diagonal().array() += 4.0; // dominant: positive definite with any coupling
        if (k < 2) fill(sample.K.upper(k));
    }
    for (Eigen::Index i = 0; i < 6; ++i) {
        sample.gradient[i] = 5.0 * number(random);
        sample.origin[i] = 0.1 * number(random);
    }
    sample.lower[0] = sample.upper[0] = 0.3;
    sample.lower[1] = -0.5;
    sample.lower[3] = -0.2;
    sample.upper[3] = 0.4;
    sample.upper[4] = 0.1;
    sample.lower[5] = 0.0;
    return sample;
}

/// The minimum by trying every choice of bounds: the one that is feasible with multipliers of the right sign.
Eigen::VectorXd by_enumeration(const Sample& sample) {
    const Eigen::MatrixXd K = sample.dense();
    for (int choice = 0; choice < 729; ++choice) {
        std::array<int, 6> side{};
        int digits = choice;
        bool exists = true;
        for (int i = 0; i < 6; ++i) {
            side[static_cast<std::size_t>(i)] = digits % 3 - 1;
            digits /= 3;
            const int s = side[static_cast<std::size_t>(i)];
            exists = exists && (s >= 0 || std::isfinite(sample.lower[i])) &&
                     (s <= 0 || std::isfinite(sample.upper[i]));
        }
        if (!exists) continue;
        Eigen::MatrixXd A = K;
        Eigen::VectorXd b = K * sample.origin - sample.gradient;
        for (int i = 0; i < 6; ++i) {
            const int s = side[static_cast<std::size_t>(i)];
            if (s == 0) continue;
            A.row(i).setZero();
            A(i, i) = 1.0;
            b[i] = s < 0 ? sample.lower[i] : sample.upper[i];
        }
        Eigen::VectorXd x = A.fullPivLu().solve(b);
        const Eigen::VectorXd force = K * (x - sample.origin) + sample.gradient;
        bool minimum = true;
        for (int i = 0; i < 6; ++i) {
            const int s = side[static_cast<std::size_t>(i)];
            const bool held = sample.lower[i] == sample.upper[i];
            minimum = minimum && x[i] >= sample.lower[i] - 1e-12 && x[i] <= sample.upper[i] + 1e-12;
            minimum = minimum && (held || s == 0 || (s < 0 ? force[i] >= 0.0 : force[i] <= 0.0));
        }
        if (minimum) return x;
    }
    FAIL("no choice of bounds is the minimum");
    return {};
}

} // namespace

TEST_CASE("the minimum within bounds is the one that enumeration finds", "[stack]") {
    std::mt19937 random(7);
    for (int i = 0; i < 50; ++i) {
        CAPTURE(i);
        Sample sample = random_sample(random);
        const Eigen::VectorXd expected = by_enumeration(sample);
        BoxQuadratic quadratic(sample.K, sample.lower, sample.upper);
        const Eigen::MatrixXd K = sample.dense();
        for (const Method method : {Method::either, Method::interior_point}) {
            Eigen::VectorXd x = sample.origin.cwiseMax(sample.lower).cwiseMin(sample.upper);
            std::vector<Hold> hold(6, Hold::free);
            hold[0] = Hold::lower;
            REQUIRE(quadratic.solve({sample.K, sample.origin, sample.gradient, sample.tolerance, 1.0}, x,
                                    hold, method));
            // The interior point leaves products of force and distance of 1e-15 of the largest.
            for (Eigen::Index k = 0; k < 6; ++k)
                CHECK_THAT(x[k], WithinAbs(expected[k], method == Method::either ? 1e-9 : 1e-6));
            CHECK(sample.dense() == K);
        }
    }
}

TEST_CASE("a quadratic that curves downwards has no minimum", "[stack]") {
    std::mt19937 random(7);
    Sample sample = random_sample(random);
    sample.K.diagonal(1)(0, 0) = -1.0;
    BoxQuadratic quadratic(sample.K, sample.lower, sample.upper);
    Eigen::VectorXd x = sample.origin;
    std::vector<Hold> hold(6, Hold::free);
    CHECK_FALSE(quadratic.solve({sample.K, sample.origin, sample.gradient, sample.tolerance, 1.0}, x, hold));
}
