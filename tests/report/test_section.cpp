#include <stack/samples.hpp>
#include <support/catch.hpp>
#include <valve/report/section.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>

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

    double largest = 0.0;
    for (const study::Section::State& state : solved.states)
        for (const double lift : state.shape.shims.front().lift)
            largest = std::max(largest, std::abs(lift));
    std::size_t left_out = 0;
    for (std::size_t i = 0; i < solved.states.size(); ++i) {
        const stack::ShimShape& whole = solved.states[i].shape.shims.front();
        const Json& face = object.at("states").at(i).at("shims").at(0);
        const auto number = [&](const char* key, std::size_t k) { return face.at(key).at(k).get<double>(); };
        left_out += whole.radius.size() - face.at("radius_m").size();
        for (std::size_t node = 0; node < whole.radius.size(); ++node) {
            std::size_t k = 0;
            while (k + 2 < face.at("radius_m").size() && number("radius_m", k + 1) < whole.radius[node])
                ++k;
            const double share = (whole.radius[node] - number("radius_m", k)) /
                                 (number("radius_m", k + 1) - number("radius_m", k));
            const double drawn =
                number("lift_m", k) + share * (number("lift_m", k + 1) - number("lift_m", k));
            CHECK_THAT(drawn, WithinAbs(whole.lift[node], largest / 2000.0 + 1e-9));
        }
    }
    CHECK(left_out > 0);
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
