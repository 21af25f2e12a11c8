#include <flow/derivative.hpp>
#include <flow/samples.hpp>
#include <support/catch.hpp>
#include <valve/flow/valve_law.hpp>

#include <cmath>
#include <numbers>
#include <random>
#include <stdexcept>
#include <vector>

using namespace valve;
using flow::ValveLaw;

namespace {

flow::ValveLaw law(const flow::Valve& valve, const stack::LiftLaw& lift) {
    return {valve, lift, samples::oil_state()};
}

/// Random lift law: closed to a random pressure, steps over many orders of magnitude.
stack::LiftLaw random_lift(std::mt19937& random, double load_area) {
    std::uniform_real_distribution<double> decades(-3.0, 0.0);
    std::vector<double> pressures{0.0, 3e5 * std::pow(10.0, decades(random))};
    std::vector<double> lifts{0.0, 0.0};
    for (int i = 0; i < 10; ++i) {
        pressures.push_back(pressures.back() + 10e5 * std::pow(10.0, decades(random)));
        lifts.push_back(lifts.back() + 0.5e-3 * std::pow(10.0, decades(random)));
    }
    return {pressures, lifts, load_area};
}

} // namespace

TEST_CASE("a valve uses up the pressure on its shim in the curtain", "[flow][valve_law]") {
    const flow::OilState oil = samples::oil_state();
    const flow::Valve valve = samples::valve();
    const stack::LiftLaw lift = samples::lift();
    const ValveLaw stack = law(valve, lift);
    const flow::Restriction ports(flow::opening(valve.ports), 0.75, 1000.0, oil);
    for (const double p_eff : {0.55e5, 1e5, 4e5, 30e5, 100e5}) {
        CAPTURE(p_eff);
        const ValveLaw::State state = stack.at(p_eff);
        const double p_f = state.dp - ports.pressure(state.flow).value;
        const double jet = 0.3 * oil.density * state.flow * state.flow / (52e-6 * lift.load_area());
        CHECK_THAT(p_f + jet, WithinRel(p_eff, 1e-12)); // rounding

        const double area = 2.0 * std::numbers::pi * 11e-3 * state.lift;
        const double speed = std::sqrt(2.0 * p_f / oil.density);
        const double number = 2.0 * state.lift * speed / oil.kinematic_viscosity;
        CHECK_THAT(state.flow, WithinRel(0.7 * std::tanh(2.0 * number / 100.0) * area * speed, 1e-12));
    }
}

TEST_CASE("a valve is closed up to its opening pressure", "[flow][valve_law]") {
    const ValveLaw stack = law(samples::valve(), samples::lift());
    for (const double p_eff : {-1e5, 0.0, 0.3e5, 0.5e5}) {
        const ValveLaw::State state = stack.at(p_eff);
        CHECK(state.flow == 0.0);
        CHECK(state.flow_slope == 0.0);
        CHECK(state.dp == p_eff);
        CHECK(state.dp_slope == 1.0);
    }
}

TEST_CASE("the derivatives of a valve are those of its values", "[flow][valve_law]") {
    for (const double jet_force : {0.0, 0.3, 1.0}) {
        flow::Valve valve = samples::valve();
        valve.jet_force = jet_force;
        const ValveLaw stack = law(valve, samples::lift());
        const auto flow_at = [&](double p) { return stack.at(p).flow; };
        const auto dp_at = [&](double p) { return stack.at(p).dp; };
        // away from the points of the law, where its second derivative jumps
        for (const double p_eff : {0.53e5, 0.57e5, 0.8e5, 1.5e5, 4e5, 10e5, 60e5}) {
            CAPTURE(jet_force, p_eff);
            const ValveLaw::State state = stack.at(p_eff);
            // step 1e-3: fourth-order error about 1e-10, near the crack, where Q ~ (p − p_crack)², 1e-9
            CHECK_THAT(state.flow_slope, WithinRel(difference_slope(flow_at, p_eff, 1e-3 * p_eff), 1e-6));
            CHECK_THAT(state.dp_slope, WithinRel(difference_slope(dp_at, p_eff, 1e-3 * p_eff), 1e-6));
        }
    }
}

TEST_CASE("a valve that rests ajar is laminar at zero", "[flow][valve_law]") {
    const stack::LiftLaw ajar({0.0, 10e5}, {0.05e-3, 0.3e-3}, 2.4e-4);
    const ValveLaw stack = law(samples::valve(), ajar);
    const ValveLaw::State rest = stack.at(0.0);
    CHECK(rest.flow == 0.0);
    CHECK_THAT(rest.flow_slope, WithinRel(stack.at(1e-4).flow / 1e-4, 1e-6)); // y² at 1e-4 Pa
}

TEST_CASE("flow rises with the pressure on the shim, whatever the jet", "[flow][valve_law]") {
    std::mt19937 random(20020611);
    for (int trial = 0; trial < 100; ++trial) {
        flow::Valve valve = samples::valve();
        valve.jet_force = 1.0;
        const stack::LiftLaw lift = random_lift(random, 0.4e-4); // jet ratio 1.46
        const ValveLaw stack = law(valve, lift);
        double before = 0.0;
        for (int i = 1; i <= 300; ++i) {
            const ValveLaw::State state = stack.at(lift.max_pressure() * i / 300.0);
            REQUIRE(state.flow >= before * (1.0 - 1e-14)); // rounding
            REQUIRE(state.flow_slope >= 0.0);
            before = state.flow;
        }
    }
}

TEST_CASE("up to the certain jet ratio the pressure drop rises with the pressure on the shim",
          "[flow][valve_law]") {
    std::mt19937 random(20020611);
    flow::Valve valve = samples::valve();
    valve.jet_force = 1.0;
    const double area = flow::jet_ratio(valve, 1.0) / flow::max_certain_jet_ratio;
    CHECK_THAT(flow::jet_ratio(valve, area), WithinRel(flow::max_certain_jet_ratio, 1e-14));
    for (int trial = 0; trial < 200; ++trial) {
        const stack::LiftLaw lift = random_lift(random, area);
        const ValveLaw stack = law(valve, lift);
        for (int i = 1; i <= 300; ++i)
            REQUIRE(stack.at(lift.max_pressure() * i / 300.0).dp_slope > 0.0);
    }
}

TEST_CASE("above jet ratio 1 the pressure drop can fall as the shim opens", "[flow][valve_law]") {
    flow::Valve valve = samples::valve();
    valve.jet_force = 1.0;
    const stack::LiftLaw lift({0.0, 2e5, 2.1e5, 50e5}, {0.0, 0.0, 0.6e-3, 0.61e-3}, 0.4e-4);
    REQUIRE(flow::jet_ratio(valve, lift.load_area()) > 1.0);
    const ValveLaw stack = law(valve, lift);
    CHECK(stack.at(2.09e5).dp < stack.at(2.01e5).dp);
    CHECK(stack.at(2.05e5).dp_slope < 0.0);
}

TEST_CASE("where the ports go over to turbulent flow even jet ratio 1 can be too much", "[flow][valve_law]") {
    // Why max_certain_jet_ratio is less than 1: y tanh y rises fastest near y = 1.7 there.
    flow::Valve valve = samples::valve();
    valve.jet_force = 1.0;
    valve.discharge.port_transition = 5000.0;
    const double area = flow::jet_ratio(valve, 1.0); // ratio 1
    const stack::LiftLaw lift({0.0, 1e5, 1.001e5, 50e5}, {0.0, 0.0, 1.2e-3, 1.201e-3}, area);
    const ValveLaw stack = law(valve, lift);
    double lowest = 1.0;
    for (int i = 0; i <= 1000; ++i)
        lowest = std::min(lowest, stack.at(1e5 * (1.0 + 1e-6 * i)).dp_slope);
    CHECK(lowest < 0.0);
}

TEST_CASE("a valve without lift law is refused", "[flow][valve_law]") {
    CHECK_THROWS_AS(law(samples::valve(), stack::LiftLaw{}), std::invalid_argument);
}
