#include <flow/samples.hpp>
#include <support/catch.hpp>
#include <valve/core/constants.hpp>

#include <cmath>
#include <stdexcept>

using namespace valve;

TEST_CASE("the viscosity law passes through both points and falls with temperature", "[flow][oil]") {
    const flow::Oil oil = samples::oil();
    CHECK_THAT(flow::kinematic_viscosity(oil, 313.15), WithinRel(16e-6, 1e-12)); // rounding of two logarithms
    CHECK_THAT(flow::kinematic_viscosity(oil, 373.15), WithinRel(3.9e-6, 1e-12));
    double before = 1.0;
    for (int celsius = -30; celsius <= 150; celsius += 10) {
        const double viscosity = flow::kinematic_viscosity(oil, zero_celsius + celsius);
        CHECK(viscosity < before);
        before = viscosity;
    }
}

TEST_CASE("density falls linearly from 15 degrees", "[flow][oil]") {
    const flow::Oil oil = samples::oil();
    CHECK(flow::density(oil, 288.15) == 850.0);
    CHECK_THAT(flow::density(oil, 388.15), WithinRel(850.0 * (1.0 - 0.075), 1e-14));
}

TEST_CASE("an oil with an error has no state", "[flow][oil]") {
    flow::Oil oil = samples::oil();
    oil.viscosity.erase(oil.viscosity.begin());
    CHECK_THROWS_AS(flow::state_of(oil), std::invalid_argument);
}
