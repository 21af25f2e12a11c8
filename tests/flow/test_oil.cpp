#include <flow/derivative.hpp>
#include <flow/samples.hpp>
#include <support/catch.hpp>

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

TEST_CASE("the volume of oil with air is 1 at the atmosphere and falls with pressure", "[flow][oil]") {
    const flow::OilState oil = samples::oil_state();
    for (const double exponent : {1.0, 1.4}) {
        CAPTURE(exponent);
        CHECK(oil.relative_volume(p_atm, exponent).value == 1.0);
        for (const double pressure : {1e3, 2e4, 1e5, 1e6, 1e7}) {
            CAPTURE(pressure);
            const ValueSlope volume = oil.relative_volume(pressure, exponent);
            const auto value = [&](double p) { return oil.relative_volume(p, exponent).value; };
            const double difference = difference_slope(value, pressure, 1e-3 * pressure);
            CHECK(volume.slope < 0.0);
            CHECK_THAT(volume.slope, WithinRel(difference, 1e-8)); // rounding of 1 over a step of 1e-3 p
        }
    }
    CHECK_THROWS_AS(oil.relative_volume(0.0, 1.0), std::invalid_argument);
}

TEST_CASE("without air oil is compressed by its bulk modulus", "[flow][oil]") {
    flow::Oil oil = samples::oil();
    oil.free_air = 0.0;
    const ValueSlope volume = flow::state_of(oil).relative_volume(50e5, 1.0);
    CHECK_THAT(-volume.value / volume.slope, WithinRel(oil.bulk_modulus, 1e-14));
}

TEST_CASE("an oil with an error has no state", "[flow][oil]") {
    flow::Oil oil = samples::oil();
    oil.viscosity.erase(oil.viscosity.begin());
    CHECK_THROWS_AS(flow::state_of(oil), std::invalid_argument);
}
