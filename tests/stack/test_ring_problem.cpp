#include <stack/samples.hpp>
#include <stack/windowed.hpp>
#include <support/catch.hpp>
#include <valve/stack/detail/path.hpp>
#include <valve/stack/detail/ring_path.hpp>
#include <valve/stack/detail/ring_problem.hpp>

#include <algorithm>
#include <cmath>
#include <random>
#include <stdexcept>

using namespace valve;
using namespace valve::stack;
using testing::windowed;

namespace {

/// A stack whose stop has a ring of its own, and whose spring another.
Stack floated() {
    Stack stack = windowed({{15, 0.15}, {15, 0.15}, {12, 0.2}, {13, 0.1}}, 3, 0.5, 0.05);
    stack.floating = Float{.travel = 0.5e-3,
                           .spring_rate = 2e3,
                           .preload = 3.0,
                           .ring_radius = 6e-3,
                           .spring_radius = 7e-3,
                           .stop_radius = 6.5e-3,
                           .rests_on = RestsOn::seat};
    stack.edge = InnerEdge::free;
    return stack;
}

} // namespace

TEST_CASE("the gradient and tangent of a stack in waves are the derivatives of its energy", "[stack][ring]") {
    const Problem round(floated(), Theory::large_deflection, {.elements = 4});
    const RingProblem problem(round, {3, 3, 4});
    std::mt19937 random(3);
    std::uniform_real_distribution<double> unit(-1.0, 1.0);
    const auto any = [&] {
        return Eigen::VectorXd::NullaryExpr(problem.size(), [&] { return unit(random); }).eval();
    };
    const Eigen::VectorXd x = 2e-5 * any();
    plate::BlockTridiagonal tangent = problem.make_tangent();
    Eigen::VectorXd gradient(problem.size());
    Eigen::VectorXd up(problem.size());
    Eigen::VectorXd down(problem.size());
    Eigen::VectorXd product(problem.size());
    const double pressure = 2e5;
    problem.assemble(x, pressure, 1.0, gradient, tangent);
    for (int trial = 0; trial < 5; ++trial) {
        const Eigen::VectorXd direction = any();
        const double step = 1e-8;
        const double slope = (problem.energy(x + step * direction, pressure) -
                              problem.energy(x - step * direction, pressure)) /
                             (2.0 * step);
        problem.differentiate(x + step * direction, pressure, up);
        problem.differentiate(x - step * direction, pressure, down);
        tangent.multiply(direction, product);
        const double scale = gradient.norm() * direction.norm();
        CHECK_THAT(slope, WithinAbs(gradient.dot(direction), 1e-6 * scale)); // differences of a stiff energy
        CHECK(((up - down) / (2.0 * step) - product).norm() < 1e-6 * product.norm());
    }
}

TEST_CASE("a round state is a state of the ring, with the same energy", "[stack][ring]") {
    Stack stack = floated();
    stack.windows = 0;
    Path path(stack, Theory::large_deflection, {.elements = 10});
    for (const double pressure : {0.05e5, 1e5, 6e5}) {
        CAPTURE(pressure);
        const State* state = path.at(pressure);
        REQUIRE(state != nullptr);
        const RingProblem problem(path.problem(), {3, 4, 4});
        const Eigen::VectorXd x = problem.from_round(state->x);
        CHECK_THAT(problem.energy(x, pressure), WithinRel(path.problem().energy(state->x, pressure), 1e-10));
        Eigen::VectorXd gradient(problem.size());
        problem.differentiate(x, pressure, gradient);
        for (int k = 0; k < path.problem().stations(); ++k)
            for (std::size_t p = 0; p < path.problem().present(k).size(); ++p) {
                double force = 0.0; // of all nodes
                for (int j = 0; j < problem.basis().nodes(); ++j)
                    force += gradient[problem.opening(k, static_cast<int>(p), j)];
                CHECK_THAT(force, WithinAbs(state->gradient[path.problem().opening(k, static_cast<int>(p))],
                                            1e-6 * problem.force_scale(pressure))); // the solver's accuracy
            }
        const std::vector<StressPeak> ring = problem.peak_stresses(x, pressure);
        const std::vector<StressPeak> even = path.problem().peak_stresses(state->x, pressure);
        REQUIRE(ring.size() == even.size());
        for (std::size_t leaf = 0; leaf < ring.size(); ++leaf)
            CHECK_THAT(ring[leaf].stress, WithinRel(even[leaf].stress, 1e-6));
    }
}

TEST_CASE("finer divisions of a stack in waves change its lift little", "[stack][ring]") {
    const Stack stack = windowed({{15, 0.2}, {13, 0.2}}, 3, 0.4, 0.05);
    RingPath usual(stack, std::nullopt);
    RingPath finer(stack, std::nullopt, {.along = {.elements = 28}, .windows = 9});
    for (const double pressure : {1e5, 6e5}) {
        const std::optional<UnevenLift> lift = usual.at(pressure);
        const std::optional<UnevenLift> fine = finer.at(pressure);
        REQUIRE(lift);
        REQUIRE(fine);
        CHECK_THAT(lift->mid_port, WithinRel(fine->mid_port, 2e-3)); // contact round the ring moves by nodes
        CHECK_THAT(lift->state.seat_lift, WithinRel(fine->state.seat_lift, 2e-3));
        CHECK_THAT(lift->state.peak.stress, WithinRel(fine->state.peak.stress, 0.03)); // the clamp's peak
    }
}

TEST_CASE("a path round the ring needs windows or waves", "[stack][ring]") {
    Stack stack = windowed({{15, 0.2}}, 0, 1.0);
    CHECK_THROWS_AS(RingPath(stack, std::nullopt), std::invalid_argument);
    const Problem linear(stack, Theory::linear, {});
    CHECK_THROWS_AS(RingProblem(linear, {3, 4, 4}), std::invalid_argument);
}
