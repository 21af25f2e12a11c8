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
#include <utility>

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
    Eigen::VectorXd x = 2e-5 * any();
    for (int k = 0; k < round.stations(); ++k) { // so steep that it matters where faces touch
        const int leaves = static_cast<int>(round.present(k).size());
        x.segment(problem.opening(k, leaves, 0), leaves * problem.basis().nodes()) *= 5e3;
    }
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

TEST_CASE("a round state of one shim is a state of the ring, with the same energy", "[stack][ring]") {
    Stack stack = floated();
    stack.windows = 0;
    stack.shims.resize(1);
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

TEST_CASE("leaves that touch are parallel surfaces", "[stack][ring]") {
    // Off a line of slope φ a parallel one at h is h / cos φ above it, at the same place: elementary
    // geometry.
    const Problem round(floated(), Theory::large_deflection, {.elements = 4});
    const RingProblem problem(round, {3, 4, 4});
    const plate::RingBasis& basis = problem.basis();
    const int n = basis.nodes();
    for (const int station : {0, round.stop_station(), round.stop_station() + 1}) {
        CAPTURE(station);
        const double radius = round.radius(station);
        Eigen::VectorXd x = Eigen::VectorXd::Zero(problem.size());
        const int base = station == round.stop_station() ? round.leaves() - 1 : 0;
        for (int j = 0; j < n; ++j) {
            // A plane, but for its third harmonic: along the radius it slopes by 0.1, round it by up to 0.12.
            x[problem.opening(station, 0, j)] = 0.04 * radius * std::cos(3.0 * basis.angle(j));
            for (int leaf = 0; leaf < round.leaves(); ++leaf)
                x[problem.opening(station, round.leaves() + leaf, j)] = 0.1;
        }
        // Two of 0.15 mm as one leaf, 0.2 and 0.1 mm.
        for (const auto& [lower, apart] : {std::pair{0, 0.25e-3}, std::pair{1, 0.15e-3}}) {
            const Eigen::VectorXd low = problem.leaf_at(x, lower, station).w;
            const Eigen::VectorXd high = problem.leaf_at(x, lower + 1, station).w;
            for (int j = 0; j < n; ++j) {
                const double tilt = 0.12 * std::sin(3.0 * basis.angle(j));
                const double cosine = 1.0 / std::sqrt(1.0 + 0.1 * 0.1 + tilt * tilt);
                const bool at_base = (base == 0 ? lower : lower + 1) == base;
                // What lies on the first of them is no pure wave any more.
                CHECK_THAT(high[j] - low[j], WithinRel(apart * (1.0 / cosine - 1.0), at_base ? 0.01 : 0.03));
            }
        }
    }
}

TEST_CASE("lifts change as the unknowns that they are counted from", "[stack][ring]") {
    const Problem round(floated(), Theory::large_deflection, {.elements = 4});
    const RingProblem problem(round, {3, 3, 4});
    std::mt19937 random(5);
    std::uniform_real_distribution<double> unit(-1.0, 1.0);
    const auto any = [&] {
        return Eigen::VectorXd::NullaryExpr(problem.size(), [&] { return 1e-2 * unit(random); }).eval();
    };
    const Eigen::VectorXd x = any();
    const Eigen::VectorXd rate = any();
    const double step = 1e-4;
    for (const int station : {0, round.stop_station(), round.last_station(1)})
        for (const int leaf : {0, 1}) {
            const Eigen::VectorXd w = problem.leaf_rate(x, rate, leaf, station).w;
            const Eigen::VectorXd up = problem.leaf_at(x + step * rate, leaf, station).w;
            const Eigen::VectorXd down = problem.leaf_at(x - step * rate, leaf, station).w;
            CHECK(((up - down) / (2.0 * step) - w).norm() < 1e-8 * w.norm());
        }
    for (const int station : {0, round.stop_station(), round.last_station(1)}) {
        const Eigen::VectorXd w = problem.face_rate(x, rate, station);
        const Eigen::VectorXd rise =
            problem.face_lift(x + step * rate, station) - problem.face_lift(x - step * rate, station);
        CHECK((rise / (2.0 * step) - w).norm() < 1e-8 * w.norm());
    }
    const double sweeps = (problem.swept(x + step * rate) - problem.swept(x - step * rate)) / (2.0 * step);
    CHECK_THAT(problem.load(x).dot(rate), WithinRel(sweeps, 1e-8));
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
