#include <flow/derivative.hpp>
#include <flow/samples.hpp>
#include <support/catch.hpp>
#include <valve/flow/link.hpp>

#include <array>
#include <cmath>
#include <limits>
#include <random>
#include <stdexcept>
#include <string>
#include <vector>

using namespace valve;
using flow::Direction;
using flow::Link;
using flow::LinkParts;
using flow::LinkState;
using flow::Restriction;

namespace {

Restriction hole(double diameter) {
    const auto opening = flow::opening(flow::Bleed{flow::Hole{.diameter = diameter, .count = 1}});
    return {*opening, 0.7, 500.0, samples::oil_state()};
}

flow::ValveLaw sample_law(double jet_force = 0.3) {
    flow::Valve valve = samples::valve();
    valve.jet_force = jet_force;
    return {valve, samples::lift(), samples::oil_state()};
}

/// A law whose pressure drop falls over part of the opening.
flow::ValveLaw snapping_law() {
    flow::Valve valve = samples::valve();
    valve.jet_force = 1.0;
    const stack::LiftLaw lift({0.0, 2e5, 2.1e5, 50e5}, {0.0, 0.0, 0.6e-3, 0.61e-3}, 0.4e-4);
    return {valve, lift, samples::oil_state()};
}

constexpr double leak = 2e-13; // [m³/(s Pa)]
constexpr double infinity = std::numeric_limits<double>::infinity();

/// The same both ways.
Link both_ways(const LinkParts& parts, double conductance = 0.0) {
    return Link(parts, parts, conductance);
}

std::vector<Link> every_kind() {
    return {both_ways({.name = "a bleed", .bleeds = {hole(1e-3)}}),
            both_ways({.name = "bleeds", .bleeds = {hole(0.3e-3), hole(1e-3), hole(2e-3)}}),
            both_ways({.name = "a leak"}, leak),
            both_ways({.name = "bleeds and leak", .bleeds = {hole(0.3e-3), hole(1e-3)}}, leak),
            both_ways({.name = "a stack", .valve = sample_law()}),
            both_ways({.name = "a stack without jet", .valve = sample_law(0.0)}),
            both_ways({.name = "all", .valve = sample_law(), .bleeds = {hole(0.3e-3), hole(1e-3)}}, leak),
            Link({.name = "one stack", .valve = sample_law()}, {.name = "a bleed", .bleeds = {hole(1e-3)}},
                 leak)};
}

/// A flow that the way which `flow` takes through `link` can pass at the end of its curve or before.
bool within_curve(const Link& link, double flow) {
    return std::abs(flow) <= std::abs(link.end(flow::direction_of(flow)).flow);
}

double sum_of_parts(const LinkState& state) {
    return state.stack_flow + state.bleed_flow + state.leak_flow;
}

} // namespace

TEST_CASE("a link solved for a flow passes that flow, to the end of its curve and beyond", "[flow][link]") {
    for (const Link& link : every_kind()) {
        for (const double sign : {1.0, -1.0}) {
            double before = 0.0;
            for (int i = 0; i <= 300; ++i) {
                const double wanted = sign * std::pow(10.0, -15.0 + 15.0 * i / 300.0);
                CAPTURE(link.name(Direction::forward), wanted);
                const LinkState state = link.at_flow(wanted);
                // A stack alone near its crack, at 0.5e5 Pa: one rounding of p_eff, 7e-12 Pa, over an opening
                // of 1e-3 Pa for the smallest flow.
                // Beyond the curve, at up to 1e9 bar, the same over the ports' loss.
                const bool at_crack = state.p_eff < 0.5001e5 && state.stack_flow != 0.0;
                REQUIRE_THAT(state.flow, WithinRel(wanted, at_crack             ? 1e-7
                                                           : state.beyond_curve ? 1e-10
                                                                                : 1e-12));
                REQUIRE_THAT(sum_of_parts(state), WithinRel(state.flow, 1e-14)); // rounding
                REQUIRE(sign * state.dp >= before);
                REQUIRE(state.beyond_curve == !within_curve(link, wanted));
                before = sign * state.dp;
            }
        }
    }
}

TEST_CASE("flow and pressure drop of a link are each other's inverse", "[flow][link]") {
    for (const Link& link : every_kind()) {
        for (const double size : {1e-6, 1e-2, 1e2, 0.49e5, 0.51e5, 1e5, 3e5, 20e5, 90e5, 300e5, 5000e5}) {
            for (const double dp : {size, -size}) {
                CAPTURE(link.name(Direction::forward), dp);
                const LinkState there = link.at_drop(dp);
                REQUIRE(there.dp == dp);
                if (there.flow == 0.0) continue; // a closed stack alone
                const LinkState back = link.at_flow(there.flow);
                CHECK_THAT(back.dp, WithinRel(dp, 1e-11)); // roundings of nested solutions
                CHECK_THAT(back.flow_slope, WithinRel(there.flow_slope, 1e-8));
                CHECK_THAT(back.lift, WithinRel(there.lift, 1e-9));
                CHECK_THAT(back.p_eff, WithinRel(there.p_eff, 1e-10));
                CHECK_THAT(back.port_loss, WithinRel(there.port_loss, 1e-8));
                CHECK_THAT(back.curtain_loss, WithinRel(there.curtain_loss, 1e-8));
            }
        }
    }
}

TEST_CASE("the slopes of a link are those of its flow and its pressure drop", "[flow][link]") {
    for (const Link& link : every_kind()) {
        const auto flow_at = [&](double dp) { return link.at_drop(dp).flow; };
        const auto drop_at = [&](double flow) { return link.at_flow(flow).dp; };
        for (const double size : {1e-2, 1e3, 0.4e5, 0.8e5, 4e5, 30e5, 500e5}) {
            for (const double dp : {size, -size}) {
                CAPTURE(link.name(Direction::forward), dp);
                const LinkState state = link.at_drop(dp);
                CHECK_THAT(state.flow_slope, WithinRel(difference_slope(flow_at, dp, 1e-3 * size), 1e-7));
                if (state.flow == 0.0) {
                    CHECK(state.is_closed);
                    CHECK(state.drop_slope == infinity);
                    continue;
                }
                CHECK_FALSE(state.is_closed);
                const double step = 1e-3 * std::abs(state.flow);
                CHECK_THAT(state.drop_slope, WithinRel(difference_slope(drop_at, state.flow, step), 1e-7));
                CHECK_THAT(state.drop_slope * state.flow_slope, WithinRel(1.0, 1e-13)); // rounding
            }
        }
    }
}

TEST_CASE("the ways of a link share one pressure drop", "[flow][link]") {
    const Link all({.name = "all", .valve = sample_law(), .bleeds = {hole(0.3e-3), hole(1e-3)}}, {}, leak);
    const Link stack_alone({.name = "stack", .valve = sample_law()});
    for (const double dp : {0.2e5, 0.9e5, 7e5}) {
        const LinkState state = all.at_drop(dp);
        CHECK_THAT(state.stack_flow, WithinRel(stack_alone.at_drop(dp).flow, 1e-12)); // rounding
        CHECK_THAT(state.bleed_flow,
                   WithinRel(hole(0.3e-3).flow(dp).value + hole(1e-3).flow(dp).value, 1e-14));
        CHECK_THAT(state.leak_flow, WithinRel(leak * dp, 1e-14));
        if (state.stack_flow > 0.0) CHECK_THAT(state.port_loss + state.curtain_loss, WithinRel(dp, 1e-12));
    }
}

TEST_CASE("each direction of a link has its own stack and bleeds, and one leak", "[flow][link]") {
    const Link link({.name = "in", .valve = sample_law(), .bleeds = {hole(1e-3)}},
                    {.name = "out", .bleeds = {hole(1e-3), hole(0.5e-3)}}, leak);
    CHECK(link.name(Direction::forward) == "in");
    CHECK(link.name(Direction::backward) == "out");
    const LinkState in = link.at_drop(3e5);
    const LinkState out = link.at_drop(-3e5);
    CHECK(in.stack_flow > 0.0);
    CHECK(in.lift > 0.0);
    CHECK(out.stack_flow == 0.0);
    CHECK(out.lift == 0.0);
    CHECK(out.leak_flow == -in.leak_flow);
    CHECK_THAT(out.bleed_flow, WithinRel(-in.bleed_flow - hole(0.5e-3).flow(3e5).value, 1e-14));
    CHECK(out.dp == -3e5);
    CHECK(out.p_eff == 3e5);
}

TEST_CASE("a link at rest has no pressure drop, and its slope is that of what is open at rest",
          "[flow][link]") {
    for (const Link& link : every_kind()) {
        CAPTURE(link.name(Direction::forward));
        CHECK(link.at_flow(0.0).dp == 0.0);
        CHECK(link.at_drop(0.0).flow == 0.0);
        const LinkState near = link.at_drop(1e-6);
        CHECK_THAT(link.at_drop(0.0).flow_slope * 1e-6, WithinRel(near.flow, 1e-9));
    }
}

TEST_CASE("a closed way is a state: nothing passes, and no drop suffices", "[flow][link]") {
    const stack::LiftLaw stuck = samples::stuck();
    for (const Link& nothing :
         {Link({.name = "empty"}),
          Link({.name = "stuck", .valve = flow::ValveLaw(samples::valve(), stuck, samples::oil_state())})}) {
        for (const double dp : {5e5, -5e5, 300e5}) {
            const LinkState state = nothing.at_drop(dp);
            CHECK(state.flow == 0.0);
            CHECK(state.is_closed);
            CHECK(state.drop_slope == infinity);
        }
        const LinkState asked = nothing.at_flow(-1e-4);
        CHECK(asked.dp == -infinity);
        CHECK(asked.flow == 0.0);
        CHECK(asked.is_closed);
    }
    const Link check({.name = "a check without load", .bleeds = {hole(1e-3)}});
    CHECK(check.at_drop(-1e5).is_closed);
    CHECK_FALSE(check.at_drop(1e5).is_closed);
}

TEST_CASE("beyond the end of its lift curve a link goes on without a kink, and says so", "[flow][link]") {
    const stack::LiftLaw lift({0.0, 0.5e5, 1e5, 4e5}, {0.0, 0.0, 0.1e-3, 0.4e-3}, 2.4e-4);
    const double last_slope = lift.at(4e5).slope;
    REQUIRE(last_slope > 0.0);
    for (const double jet_force : {0.0, 0.3}) {
        flow::Valve valve = samples::valve();
        valve.jet_force = jet_force;
        const Link link({.name = "stack", .valve = flow::ValveLaw(valve, lift, samples::oil_state())});
        const LinkState end = link.end(Direction::forward);
        CHECK_FALSE(end.beyond_curve);
        CHECK_THAT(link.at_flow(end.flow).dp, WithinRel(end.dp, 1e-12));
        CHECK_THAT(link.at_drop(end.dp).flow, WithinRel(end.flow, 1e-12));
        const LinkState before = link.at_drop(end.dp * (1.0 - 1e-9));
        const LinkState after = link.at_drop(end.dp * (1.0 + 1e-9));
        CHECK_FALSE(before.beyond_curve);
        CHECK(after.beyond_curve);
        CHECK_THAT(after.flow, WithinRel(before.flow, 1e-8));
        CHECK_THAT(after.flow_slope, WithinRel(before.flow_slope, 1e-7));
        CHECK(after.lift > before.lift);
        const LinkState far = link.at_drop(4.0 * end.dp);
        CHECK_THAT(far.lift, WithinRel(0.4e-3 + last_slope * (far.p_eff - 4e5), 1e-12));
        CHECK(far.flow > end.flow);
    }
    const Link open({.name = "bleed", .bleeds = {hole(1e-3)}});
    CHECK(open.end(Direction::forward).dp == infinity);
    CHECK(open.end(Direction::forward).flow == infinity);
    CHECK(open.end(Direction::backward).is_closed);
}

TEST_CASE("flow rises with the pressure drop from one end of the scale to the other", "[flow][link]") {
    std::mt19937 random(20261128);
    for (const Link& link : every_kind()) {
        std::uniform_real_distribution<double> exponent(-3.0, 9.0);
        for (int i = 0; i < 2000; ++i) {
            const double low = std::pow(10.0, exponent(random));
            const double high = low * 1.001;
            CAPTURE(link.name(Direction::forward), low);
            REQUIRE(link.at_drop(high).flow >= link.at_drop(low).flow);
            REQUIRE(link.at_drop(-high).flow <= link.at_drop(-low).flow);
            REQUIRE(link.at_drop(low).flow_slope >= 0.0);
        }
    }
}

TEST_CASE("what is no number is refused", "[flow][link]") {
    const Link link({.name = "base.compression", .valve = sample_law()});
    CHECK_THROWS_AS(link.at_flow(std::nan("")), std::invalid_argument);
    CHECK_THROWS_AS(link.at_flow(infinity), std::invalid_argument);
    CHECK_THROWS_AS(link.at_drop(std::nan("")), std::invalid_argument);
    CHECK_THROWS_AS(Link({.name = "x"}, {}, -1.0), std::invalid_argument);
    CHECK_THROWS_AS(Link({.name = "x"}, {}, std::nan("")), std::invalid_argument);
}

TEST_CASE("a valve that can snap still has a state for every flow and every pressure drop", "[flow][link]") {
    const Link link({.name = "snapping", .valve = snapping_law()});
    const LinkState end = link.end(Direction::forward);
    for (int i = 1; i < 200; ++i) {
        const double wanted = end.flow * i / 100.0;
        CAPTURE(wanted);
        const LinkState state = link.at_flow(wanted);
        CHECK_THAT(state.flow, WithinRel(wanted, 1e-12));
        const LinkState at_drop = link.at_drop(state.dp); // another state than this, it may be, or shut
        if (at_drop.stack_flow == 0.0) continue;
        CHECK_THAT(at_drop.port_loss + at_drop.curtain_loss, WithinRel(state.dp, 1e-11));
    }
}

TEST_CASE("where bleeds have no pressure drop the link says so", "[flow][link]") {
    const Link link = both_ways({.name = "bleeds", .bleeds = {hole(0.3e-3), hole(1e-3)}});
    CHECK_THROWS_WITH(link.at_flow(1e200),
                      "bleeds: no pressure drop found at which bleeds and leak pass 1e+206 ml/s");
}
