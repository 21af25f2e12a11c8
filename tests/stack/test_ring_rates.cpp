#include <stack/windowed.hpp>
#include <support/catch.hpp>
#include <valve/stack/detail/minimise.hpp>
#include <valve/stack/detail/ring_problem.hpp>

#include <cmath>
#include <cstddef>

using namespace valve;
using namespace valve::stack;
using testing::windowed;

namespace {

/// Rates of the state at `pressure` [Pa] beside central differences of two states near it; how far those that
/// the solve left were off, as a share.
double check_rates(const Stack& stack, double pressure) {
    CAPTURE(pressure);
    const Problem round(stack, Theory::large_deflection, {.elements = 6});
    const RingProblem problem(round, {stack.windows, 4, 4});
    Minimiser minimiser(problem);
    State state = minimiser.start();
    for (const double share : {0.25, 0.5, 0.75, 1.0})
        REQUIRE(minimiser.solve(share * pressure, state).converged);
    const State as_solved = state;
    minimiser.refine_rates(state); // by what the solve has left
    CHECK(state.x == as_solved.x);
    const double step = 1e-4 * pressure;
    State above = state;
    State below = state;
    REQUIRE(minimiser.solve(pressure + step, above).converged);
    REQUIRE(minimiser.solve(pressure - step, below).converged);
    REQUIRE((above.hold == state.hold && below.hold == state.hold));
    const Eigen::VectorXd rate = (above.x - below.x) / (2.0 * step);
    const double size = problem.largest_deflection(rate);
    CHECK(problem.largest_deflection(state.rate - rate) < 1e-5 * size);
    // One by one forces are differences of stiff elements: their sum.
    double borne = 0.0;
    double pressed = 0.0;
    double scale = 0.0;
    for (Eigen::Index i = 0; i < state.x.size(); ++i) {
        const double of_force = (above.gradient[i] - below.gradient[i]) / (2.0 * step);
        borne += state.hold[static_cast<std::size_t>(i)] == Hold::free ? 0.0 : state.gradient_rate[i];
        pressed += state.hold[static_cast<std::size_t>(i)] == Hold::free ? 0.0 : of_force;
        scale += std::abs(of_force);
    }
    CHECK_THAT(borne, WithinAbs(pressed, 1e-3 * scale));
    return problem.largest_deflection(as_solved.rate - rate) / size;
}

} // namespace

TEST_CASE("refined rates are differences of states over windows", "[stack][ring]") {
    check_rates(windowed({{15, 0.2}}, 4, 0.5), 3e5);
    // Of this one there was something to refine.
    CHECK(check_rates(windowed({{15, 0.2}, {13, 0.2}}, 3, 0.8), 2.5e5) > 1e-4);
    Stack floated = windowed({{15, 0.15}, {12, 0.2}}, 3, 0.5, 0.05);
    floated.floating = Float{.travel = 0.5e-3,
                             .spring_rate = 2e4,
                             .preload = 30.0,
                             .ring_radius = 6e-3,
                             .spring_radius = 6e-3,
                             .stop_radius = 6e-3,
                             .rests_on = RestsOn::seat};
    floated.edge = InnerEdge::free;
    check_rates(floated, 1.5e5);
}
