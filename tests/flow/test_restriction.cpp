#include <flow/derivative.hpp>
#include <flow/samples.hpp>
#include <support/catch.hpp>
#include <valve/flow/opening.hpp>
#include <valve/flow/restriction.hpp>
#include <valve/setup/document.hpp>
#include <valve/setup/read.hpp>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <string>
#include <vector>

using namespace valve;
using flow::Opening;
using flow::Restriction;

namespace {

struct Sample {
    Opening opening;
    double discharge;
    double transition;
};

/// From a needle just off its seat to a piston full of ports.
const std::vector<Sample> samples_of_openings{{{1e-9, 5e-6}, 0.7, 500.0},
                                              {{0.8e-6, 1e-3}, 0.7, 500.0},
                                              {{52e-6, 4e-3}, 0.75, 1000.0},
                                              {{1e-3, 0.2e-3}, 0.7, 100.0}};

Restriction restriction(const Sample& sample) {
    return {sample.opening, sample.discharge, sample.transition, samples::oil_state()};
}

/// y with y tanh y = s, by halving in long double, nothing shared with the library: its root lies between
/// max(s, √s) and 1.2 times that.
long double halved(long double s) {
    long double low = std::max(s, std::sqrt(s));
    long double high = 1.2L * low;
    for (int step = 0; step < 70; ++step) {
        const long double y = 0.5L * (low + high);
        (y * std::tanh(y) < s ? low : high) = y;
    }
    return 0.5L * (low + high);
}

/// Checks pressure and slope at `flow`, either way, against those of the law's y.
void check_inverse(const Sample& sample, const flow::OilState& oil, double flow) {
    CAPTURE(sample.opening.area, sample.opening.hydraulic_diameter, flow);
    const Restriction law(sample.opening, sample.discharge, sample.transition, oil);
    const auto exact = [](double value) { return static_cast<long double>(value); };
    const long double kappa = 2.0L * exact(sample.opening.hydraulic_diameter) /
                              (exact(oil.kinematic_viscosity) * exact(sample.transition));
    const long double capacity = exact(sample.discharge) * exact(sample.opening.area);
    const long double y = halved(kappa * exact(flow) / capacity);
    const long double tanh = std::tanh(y);
    const long double density = exact(oil.density);
    const long double pressure = 0.5L * density * (y / kappa) * (y / kappa);
    const long double slope = density / (capacity * kappa * (tanh / y + (1.0L - tanh) * (1.0L + tanh)));
    for (const double sign : {1.0, -1.0}) {
        const ValueSlope found = law.pressure(sign * flow);
        REQUIRE_THAT(found.value, WithinRel(sign * static_cast<double>(pressure), 1e-13));
        REQUIRE_THAT(found.slope, WithinRel(static_cast<double>(slope), 1e-13));
    }
}

} // namespace

TEST_CASE("a restriction is laminar at small flow", "[flow][restriction]") {
    const flow::OilState oil = samples::oil_state();
    for (const Sample& sample : samples_of_openings) {
        const double kappa =
            2.0 * sample.opening.hydraulic_diameter / (oil.kinematic_viscosity * sample.transition);
        const double conductance = 2.0 * sample.discharge * sample.opening.area * kappa / oil.density;
        const Restriction law = restriction(sample);
        CHECK_THAT(law.flow(0.0).slope, WithinRel(conductance, 1e-14)); // rounding
        CHECK(law.flow(0.0).value == 0.0);
        CHECK(law.pressure(0.0).value == 0.0);
        CHECK_THAT(law.pressure(0.0).slope, WithinRel(1.0 / conductance, 1e-14));
        const double dp = 1e-6 * oil.density / (2.0 * kappa * kappa); // y = 1e-3: 1 − y²/3
        CHECK_THAT(law.flow(dp).value, WithinRel(conductance * dp, 1e-6));
    }
}

TEST_CASE("a restriction is turbulent at large flow", "[flow][restriction]") {
    const flow::OilState oil = samples::oil_state();
    for (const Sample& sample : samples_of_openings) {
        const double kappa =
            2.0 * sample.opening.hydraulic_diameter / (oil.kinematic_viscosity * sample.transition);
        const double dp =
            400.0 * oil.density / (2.0 * kappa * kappa); // y = 20: tanh y = 1 in double precision
        const double flow = sample.discharge * sample.opening.area * std::sqrt(2.0 * dp / oil.density);
        CHECK_THAT(restriction(sample).flow(dp).value, WithinRel(flow, 1e-14)); // rounding
    }
}

TEST_CASE("a restriction is the same both ways", "[flow][restriction]") {
    const Restriction law = restriction(samples_of_openings[1]);
    for (const double dp : {1e-9, 1.0, 1e5}) {
        CHECK(law.flow(-dp).value == -law.flow(dp).value);
        CHECK(law.flow(-dp).slope == law.flow(dp).slope);
        const double flow = law.flow(dp).value;
        CHECK(law.pressure(-flow).value == -law.pressure(flow).value);
        CHECK(law.pressure(-flow).slope == law.pressure(flow).slope);
    }
}

TEST_CASE("flow at the pressure for a flow is that flow, from 1e-15 to 1 m3/s", "[flow][restriction]") {
    for (const Sample& sample : samples_of_openings) {
        const Restriction law = restriction(sample);
        double before = 0.0;
        for (int i = 0; i <= 600; ++i) {
            const double wanted = std::pow(10.0, -15.0 + 15.0 * i / 600.0);
            CAPTURE(sample.opening.area, wanted);
            const ValueSlope pressure = law.pressure(wanted);
            REQUIRE_THAT(law.flow(pressure.value).value, WithinRel(wanted, 1e-12)); // a few roundings
            REQUIRE_THAT(pressure.slope * law.flow(pressure.value).slope, WithinRel(1.0, 1e-11));
            REQUIRE(pressure.value > before);
            before = pressure.value;
        }
    }
}

TEST_CASE("the pressure for a flow is that found by halving, to 1e-13", "[flow][restriction]") {
    for (const Sample& sample : samples_of_openings)
        for (int i = 0; i <= 300; ++i)
            check_inverse(sample, samples::oil_state(), std::pow(10.0, -15.0 + 15.0 * i / 300.0));

    // Where C A and κ are 1, so that y tanh y is the flow: close by each other, and about where one formula
    // ends and the next begins.
    flow::OilState oil = samples::oil_state();
    oil.kinematic_viscosity = 1e-5;
    const Sample plain{{1.0, 0.5e-5}, 1.0, 1.0};
    for (int i = 1; i <= 5000; ++i)
        check_inverse(plain, oil, 0.005 * i);
    for (const double joint : {0.25 * std::tanh(0.25), 0.25, 0.5, 5.0, 19.75, 20.0})
        for (const double beside : {1.0 - 1e-9, 1.0 - 1e-15, 1.0, 1.0 + 1e-15, 1.0 + 1e-9})
            check_inverse(plain, oil, joint * beside);
}

TEST_CASE("the pressure for a flow is that found by halving, through all ports and gaps of the demos",
          "[flow][restriction]") {
    int ways = 0;
    for (const std::string name : {"rally-fork", "rally-shock", "road-shock", "forest-fork"}) {
        const auto document = setup::Document::load(VALVE_SOURCE_DIR "/stacks/" + name + ".yaml");
        const damper::SetUp setup = setup::read(document).unit.value();
        for (const auto& valve : setup.valves.at_place) {
            if (!valve) continue;
            std::vector<Sample> passages{
                {flow::opening(valve->ports), valve->discharge.port, valve->discharge.port_transition}};
            for (const double lift : {1e-10, 1e-6, 1e-5, 1e-4, 1e-3})
                passages.push_back({flow::curtain_gap(flow::curtain_length(*valve), lift),
                                    valve->discharge.curtain, valve->discharge.curtain_transition});
            for (const double celsius : {-10.0, 40.0, 120.0})
                for (const Sample& passage : passages)
                    for (int i = 0; i <= 60; ++i)
                        check_inverse(passage, flow::state_of(setup.oil, 273.15 + celsius),
                                      std::pow(10.0, -15.0 + 15.0 * i / 60.0));
            ++ways;
        }
    }
    CHECK(ways >= 8);
}

TEST_CASE("the derivatives of a restriction are those of its values", "[flow][restriction]") {
    for (const Sample& sample : samples_of_openings) {
        const Restriction law = restriction(sample);
        const auto flow_at = [&](double dp) { return law.flow(dp).value; };
        const auto pressure_at = [&](double flow) { return law.pressure(flow).value; };
        for (const double dp : {1e-2, 1.0, 1e2, 1e4, 1e6, -1e3}) {
            CAPTURE(sample.opening.area, dp);
            const double flow = law.flow(dp).value;
            // step 1e-3: fourth-order error about 1e-11, rounding 1e-13
            CHECK_THAT(law.flow(dp).slope, WithinRel(difference_slope(flow_at, dp, 1e-3 * dp), 1e-9));
            CHECK_THAT(law.pressure(flow).slope,
                       WithinRel(difference_slope(pressure_at, flow, 1e-3 * flow), 1e-9));
        }
    }
}

TEST_CASE("a restriction needs an opening", "[flow][restriction]") {
    const flow::OilState oil = samples::oil_state();
    CHECK_THROWS_AS(Restriction({0.0, 1e-3}, 0.7, 500.0, oil), std::invalid_argument);
    CHECK_THROWS_AS(Restriction({1e-6, 0.0}, 0.7, 500.0, oil), std::invalid_argument);
    CHECK_THROWS_AS(Restriction({1e-6, 1e-3}, 0.7, 0.0, oil), std::invalid_argument);
    CHECK_THROWS_AS(Restriction({1e-6, 1e-3}, std::nan(""), 500.0, oil), std::invalid_argument);
}
