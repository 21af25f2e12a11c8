#include <flow/samples.hpp>
#include <stack/windowed.hpp>
#include <support/catch.hpp>
#include <valve/flow/link.hpp>

#include <cmath>
#include <memory>

using namespace valve;
using flow::Direction;
using flow::Link;
using flow::LinkState;

namespace {

struct Bent {
    std::shared_ptr<const stack::Solution> solution;
    Link bent;
    Link round;
};

/// A link past one shim, as it bends and taken for round, with a bleed beside.
Bent link(const stack::Stack& stack, double jet_force, double port_area, double max_pressure) {
    flow::Valve valve = samples::valve();
    valve.stack = stack;
    valve.jet_force = jet_force;
    valve.ports.area_each = port_area;
    const auto solution =
        std::make_shared<const stack::Solution>(stack, stack::FollowOptions{.max_pressure = max_pressure});
    const auto law = std::make_shared<const stack::UnevenLaw>(solution, false);
    const std::vector<flow::Restriction> bleeds{flow::Restriction(
        *flow::opening(flow::Hole{.diameter = 1e-3, .count = 1}), 0.7, 500.0, samples::oil_state())};
    const auto with = [&](const flow::ValveLaw::Bent& bent) {
        return Link({"valve", flow::ValveLaw(valve, solution->law(), samples::oil_state(), bent), bleeds});
    };
    return {solution, with(law), with(nullptr)};
}

} // namespace

TEST_CASE("a valve in waves passes more than the round one, and the same below buckling", "[flow][uneven]") {
    const double jet_force = GENERATE(0.0, 0.3);
    const double port_area = GENERATE(13e-6, 60e-6); // small ports lose most of the pressure
    const Bent links = link(stack::testing::windowed({{15, 0.2}}, 0, 1.0), jet_force, port_area, 10e5);
    const double begin = links.solution->uneven_from(10e5).value();
    double before = 0.0;
    bool has_bent = false;
    for (double dp = 0.2e5; dp < 8e5; dp *= 1.37) {
        CAPTURE(dp);
        const LinkState bent = links.bent.at_drop(dp);
        const LinkState round = links.round.at_drop(dp);
        if (round.p_eff <= begin) {
            CHECK(bent.flow == round.flow); // to the last digit
            CHECK(links.bent.at_flow(round.flow).dp == links.round.at_flow(round.flow).dp);
            CHECK(bent.lift == round.lift);
        } else {
            has_bent = true;
            CHECK(bent.flow > round.flow);
            CHECK(bent.p_eff > begin);
            CHECK_THAT(bent.lift, WithinRel(links.solution->uneven_law(bent.p_eff).ring.lift, 1e-12));
        }
        CHECK(bent.flow > before);
        before = bent.flow;
        CHECK_THAT(links.bent.at_flow(bent.flow).dp, WithinRel(dp, 1e-10));
        // The slope is that of the flow.
        const double step = 1e-5 * dp;
        const double rise =
            (links.bent.at_drop(dp + step).flow - links.bent.at_drop(dp - step).flow) / (2.0 * step);
        CHECK_THAT(bent.flow_slope, WithinRel(rise, 1e-5));
        CHECK_THAT(bent.drop_slope * bent.flow_slope, WithinRel(1.0, 1e-9));
    }
    CHECK(has_bent);
}

TEST_CASE("beyond the end of its law a valve in waves goes on, and says so", "[flow][uneven]") {
    const Bent links = link(stack::testing::windowed({{15, 0.2}}, 0, 1.0), 0.3, 60e-6, 3e5);
    REQUIRE(links.solution->uneven_end() == 3e5);
    const LinkState end = links.bent.end(Direction::forward);
    CHECK_FALSE(end.beyond_curve);
    CHECK(end.p_eff == 3e5);
    CHECK(end.flow > links.round.end(Direction::forward).flow);
    for (const double times : {1.001, 1.3, 4.0}) {
        const LinkState beyond = links.bent.at_flow(times * end.flow);
        CHECK(beyond.beyond_curve);
        CHECK(beyond.dp > end.dp);
        CHECK_THAT(links.bent.at_drop(beyond.dp).flow, WithinRel(times * end.flow, 1e-9));
    }
    CHECK_FALSE(links.bent.at_flow(0.999 * end.flow).beyond_curve);
}

TEST_CASE("a valve over windows opens at the ports", "[flow][uneven]") {
    const Bent links = link(stack::testing::windowed({{15, 0.2}}, 3, 0.5, 0.1), 0.3, 13e-6, 10e5);
    const double opens = links.solution->uneven_from(10e5).value();
    CHECK(links.bent.at_drop(0.99 * opens).stack_flow == 0.0);
    for (const double times : {1.1, 2.0, 5.0}) {
        const LinkState state = links.bent.at_drop(times * opens);
        CHECK(state.stack_flow > 0.0);
        CHECK_THAT(state.lift, WithinRel(links.solution->uneven_law(state.p_eff).ring.lift, 1e-12));
        CHECK_THAT(links.bent.at_flow(state.flow).dp, WithinRel(times * opens, 1e-10));
    }
}
