#include <flow/derivative.hpp>
#include <flow/samples.hpp>
#include <support/catch.hpp>
#include <valve/flow/passage.hpp>

#include <cmath>
#include <random>
#include <stdexcept>
#include <vector>

using namespace valve;
using flow::Passage;
using flow::PassageState;
using flow::Restriction;

namespace {

Restriction hole(double diameter) {
    const auto opening = flow::opening(flow::Bleed{flow::Hole{.diameter = diameter, .count = 1}});
    return {*opening, 0.7, 500.0, samples::oil_state()};
}

flow::ValveLaw sample_law() {
    return {samples::valve(), samples::lift(), samples::oil_state()};
}

constexpr double leak = 2e-13; // [m³/(s Pa)]

std::vector<Passage> every_kind() {
    return {Passage("a bleed", std::nullopt, {hole(1e-3)}),
            Passage("bleeds", std::nullopt, {hole(0.3e-3), hole(1e-3), hole(2e-3)}),
            Passage("a leak", std::nullopt, {}, leak),
            Passage("bleeds and leak", std::nullopt, {hole(0.3e-3), hole(1e-3)}, leak),
            Passage("a stack", sample_law(), {}),
            Passage("all", sample_law(), {hole(0.3e-3), hole(1e-3)}, leak)};
}

} // namespace

TEST_CASE("a passage solved for a flow passes that flow", "[flow][passage]") {
    for (const Passage& passage : every_kind()) {
        double before = 0.0;
        for (int i = 0; i <= 300; ++i) {
            const double wanted = std::pow(10.0, -15.0 + 15.0 * i / 300.0);
            if (wanted > passage.end().flow) break;
            CAPTURE(passage.name(), wanted);
            const PassageState state = passage.at_flow(wanted);
            // A stack alone near its crack, at 0.5e5 Pa: one rounding of p_eff, 7e-12 Pa, over an opening of
            // 1e-3 Pa for the smallest flow.
            REQUIRE_THAT(state.flow,
                         WithinRel(wanted, state.p_eff < 0.5001e5 && state.stack_flow > 0.0 ? 1e-7 : 1e-12));
            REQUIRE(state.dp >= before);
            before = state.dp;
        }
    }
}

TEST_CASE("flow and pressure drop of a passage are each other's inverse", "[flow][passage]") {
    for (const Passage& passage : every_kind()) {
        for (const double dp : {1e-6, 1e-2, 1e2, 0.49e5, 0.51e5, 1e5, 3e5, 20e5, 90e5}) {
            CAPTURE(passage.name(), dp);
            const PassageState there = passage.at_pressure(dp);
            if (there.flow == 0.0) continue; // a closed stack alone
            const PassageState back = passage.at_flow(there.flow);
            CHECK_THAT(back.dp, WithinRel(dp, 1e-11)); // roundings of nested solutions
            CHECK_THAT(back.flow_slope, WithinRel(there.flow_slope, 1e-8));
        }
    }
}

TEST_CASE("the slope of a passage is that of its flow", "[flow][passage]") {
    for (const Passage& passage : every_kind()) {
        const auto flow_at = [&](double dp) { return passage.at_pressure(dp).flow; };
        for (const double dp : {1e-2, 1e3, 0.4e5, 0.8e5, 4e5, 30e5}) {
            CAPTURE(passage.name(), dp);
            const PassageState state = passage.at_pressure(dp);
            CHECK_THAT(state.flow_slope, WithinRel(difference_slope(flow_at, dp, 1e-3 * dp), 1e-7));
        }
    }
}

TEST_CASE("the ways of a passage share one pressure drop", "[flow][passage]") {
    const Passage all("all", sample_law(), {hole(0.3e-3), hole(1e-3)}, leak);
    const Passage stack_alone("stack", sample_law(), {});
    for (const double dp : {0.2e5, 0.9e5, 7e5}) {
        const double bleeds = hole(0.3e-3).flow(dp).value + hole(1e-3).flow(dp).value + leak * dp;
        const double expected = stack_alone.at_pressure(dp).flow + bleeds;
        CHECK_THAT(all.at_pressure(dp).flow, WithinRel(expected, 1e-12)); // rounding
    }
}

TEST_CASE("a passage at rest has no pressure drop", "[flow][passage]") {
    for (const Passage& passage : every_kind()) {
        CAPTURE(passage.name());
        CHECK(passage.at_flow(0.0).dp == 0.0);
        CHECK(passage.at_pressure(0.0).flow == 0.0);
    }
    CHECK(Passage("nothing", std::nullopt, {}).at_flow(0.0).dp == 0.0);
}

TEST_CASE("a closed passage passes nothing and says so when it must", "[flow][passage]") {
    const Passage nothing("base.refill", std::nullopt, {});
    CHECK(nothing.at_pressure(5e5).flow == 0.0);
    CHECK_THROWS_WITH(nothing.at_flow(1e-4), contains_text("base.refill: nothing lets 6 l/min through"));
}

TEST_CASE("beyond the end of the lift curve a passage says where it ends", "[flow][passage]") {
    const Passage passage("piston.compression", sample_law(), {});
    const PassageState& end = passage.end();
    CHECK_THAT(passage.at_flow(end.flow).dp, WithinRel(end.dp, 1e-12));
    CHECK_THAT(passage.at_pressure(end.dp).flow, WithinRel(end.flow, 1e-12));
    CHECK_THROWS_AS(passage.at_flow(1.01 * end.flow), SolveError);
    CHECK_THROWS_WITH(passage.at_flow(1.0),
                      contains_text("piston.compression: 6e+04 l/min lie beyond the end") &&
                          contains_text(" bar") && contains_text("larger ports"));
    CHECK_THROWS_AS(passage.at_pressure(1.01 * end.dp), SolveError);
}

TEST_CASE("passages of one direction refuse the other", "[flow][passage]") {
    const Passage passage("base.compression", sample_law(), {});
    CHECK_THROWS_AS(passage.at_flow(-1e-6), std::invalid_argument);
    CHECK_THROWS_AS(passage.at_pressure(-1.0), std::invalid_argument);
    CHECK_THROWS_AS(passage.at_flow(std::nan("")), std::invalid_argument);
    CHECK_THROWS_AS(Passage("x", std::nullopt, {}, -1.0), std::invalid_argument);
}

TEST_CASE("a valve that can snap still has a state for every flow", "[flow][passage]") {
    flow::Valve valve = samples::valve();
    valve.jet_force = 1.0;
    const stack::LiftLaw lift({0.0, 2e5, 2.1e5, 50e5}, {0.0, 0.0, 0.6e-3, 0.61e-3}, 0.4e-4);
    const Passage passage("snapping", flow::ValveLaw(valve, lift, samples::oil_state()), {});
    for (int i = 1; i < 100; ++i) {
        const double wanted = passage.end().flow * i / 100.0;
        CAPTURE(wanted);
        CHECK_THAT(passage.at_flow(wanted).flow, WithinRel(wanted, 1e-12));
    }
}
