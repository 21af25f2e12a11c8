#include <single_plate/single_plate.hpp>
#include <support/catch.hpp>

#include <stdexcept>

using namespace valve::validation;

namespace {

PlateProblem pressed_plate() {
    PlateProblem problem;
    problem.inner_radius = 6e-3;
    problem.outer_radius = 15e-3;
    problem.thickness = 0.2e-3;
    problem.pressures.push_back({8e-3, 15e-3, 1e5, 1e5});
    problem.grading.elements = 10;
    return problem;
}

} // namespace

TEST_CASE("a plate that nothing holds is refused", "[validation][plate]") {
    PlateProblem problem = pressed_plate();
    problem.inner = EdgeSupport::free;
    CHECK_THROWS_AS(solve(problem), std::invalid_argument);
    problem.inner = EdgeSupport::guided;
    CHECK_THROWS_AS(solve(problem), std::invalid_argument);
    problem = pressed_plate();
    problem.thickness = 0.0;
    CHECK_THROWS_AS(solve(problem), std::invalid_argument);
    problem = pressed_plate();
    problem.rings.push_back({20e-3, 1.0});
    CHECK_THROWS_AS(solve(problem), std::invalid_argument);
}
