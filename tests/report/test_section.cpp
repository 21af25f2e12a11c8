#include <stack/samples.hpp>
#include <support/catch.hpp>
#include <valve/report/section.hpp>

using namespace valve;
using namespace valve::report;

TEST_CASE("a section shows rest, the events that a tuner knows, and rising pressure", "[report]") {
    flow::Valve valve;
    valve.ports = {4, 24e-6};
    valve.stack = stack::testing::check_plate();
    valve.stack.shims.push_back({valve.stack.clamp_radius, 0.3e-3, {}});
    damper::LiftCache lifts;
    const study::Section solved = study::section("base.refill", valve, lifts);
    REQUIRE(solved.error.empty());
    CHECK_FALSE(solved.states.front().event);
    CHECK(solved.states[1].event == stack::EventKind::float_start);
    CHECK(solved.states[2].event == stack::EventKind::stop);
    for (std::size_t i = 1; i < solved.states.size(); ++i)
        CHECK(solved.states[i].shape.state.pressure > solved.states[i - 1].shape.state.pressure);

    const Json object = json(solved);
    CHECK(object.at("clamped") == false);
    CHECK(object.at("float").at("travel_m") == 1.2e-3);
    CHECK(object.at("shims").at(1).at("spacer") == true);
    for (const Json& state : object.at("states")) {
        CHECK(state.at("shims").at(1).is_null()); // a spacer bends nothing
        const Json& face = state.at("shims").at(0);
        CHECK(face.at("radius_m").size() == face.at("lift_m").size());
        CHECK(face.at("radius_m").size() <= 25);
        CHECK(face.at("radius_m").back() == 13e-3); // thinned out, but not at the edge
    }
}

TEST_CASE("a section ends where its lift curve does", "[report]") {
    flow::Valve valve;
    valve.ports = {4, 24e-6};
    valve.stack = stack::testing::check_plate();
    valve.stack.shims.front().thickness = 0.02e-3;
    damper::LiftCache lifts(stack::FollowOptions{.max_pressure = 1e12});
    const study::Section solved = study::section("base.refill", valve, lifts);
    CHECK(solved.error.empty());
    CHECK(solved.states.back().shape.state.pressure <= lifts.curve(valve.stack).points.back().pressure);
    CHECK(json(solved).at("states").size() == solved.states.size());
}
