#include <stack/samples.hpp>
#include <stack/windowed.hpp>
#include <support/catch.hpp>
#include <valve/report/section.hpp>
#include <valve/setup/read.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <utility>

using namespace valve;
using namespace valve::report;

TEST_CASE("the sections of a damper show what its speeds bring on their face shims, and nothing beyond",
          "[report][demo]") {
    const std::string file = std::string(VALVE_SOURCE_DIR) + "/stacks/rally-fork.yaml";
    const setup::Reading reading = setup::read(setup::Document::load(file));
    damper::LiftCache lifts({.theory = stack::Theory::linear});
    const study::CurveResult curve = study::curve_result(file, reading, {}, lifts);
    for (const study::Section& section : study::sections(reading, lifts, &curve)) {
        REQUIRE(section.error.empty());
        CHECK(section.states.front().shape.state.pressure == 0.0);
        const bool inwards = section.name.ends_with(".compression");
        std::vector<double> speeds;
        for (const study::Section::State& state : section.states) {
            if (!state.speed) continue;
            speeds.push_back(std::abs(*state.speed));
            CHECK((*state.speed > 0.0) == inwards);
            // The drop of the valve at that speed, less what its ports lose.
            for (std::size_t i = 0; i < curve.curve.points.size(); ++i) {
                const damper::SteadyPoint& point = curve.curve.points[i];
                if (point.speed != *state.speed) continue;
                const bool in_base = section.name.starts_with("base");
                const auto& through = in_base ? curve.through[i].base : curve.through[i].piston;
                const double drop = in_base ? std::abs(point.dp_base) : std::abs(point.dp_piston);
                CHECK_THAT(state.shape.state.pressure, WithinRel(drop - through->port_loss, 5.1e-4));
            }
        }
        CHECK(speeds.back() == 4.0);
        CHECK(std::is_sorted(speeds.begin(), speeds.end()));
        CHECK(std::count(speeds.begin(), speeds.end(), 1.0) == 1);
        CHECK(section.states.back().speed); // no event beyond the fastest
        CHECK(json(section).at("states").back().at("speed_m_s") == *section.states.back().speed);
    }
}

TEST_CASE("a section shows rest, the events that a tuner knows, and rising pressure", "[report]") {
    flow::Valve valve;
    valve.ports = {4, 24e-6};
    valve.stack = stack::testing::check_plate();
    valve.stack.shims.push_back({valve.stack.clamp_radius, 0.3e-3, {}});
    damper::LiftCache lifts({.shape = stack::Shape::round});
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

    CHECK(object.at("states").at(0).at("not_round").is_null());

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

TEST_CASE("a section over windows shows mid-port, mid-land and the lift between", "[report][ring]") {
    flow::Valve valve;
    valve.ports = {3, 24e-6};
    valve.stack = stack::testing::windowed({{15, 0.2}, {13, 0.2}}, 3, 0.5);
    damper::LiftCache lifts;
    const study::Section solved = study::section("base.compression", valve, lifts);
    const auto solution = lifts.solution(valve.stack);
    int bent = 0;
    for (const study::Section::State& state : solved.states) {
        if (state.shape.state.pressure == 0.0) {
            CHECK_FALSE(state.uneven);
            continue;
        }
        REQUIRE(state.uneven);
        ++bent;
        const stack::UnevenShape& shape = *state.uneven;
        const stack::UnevenLift told = solution->uneven(state.shape.state.pressure).value();
        CHECK(shape.lift.state.seat_lift == told.state.seat_lift); // the states of the kept solution
        CHECK_THAT(shape.seat_lift.front(), WithinAbs(told.mid_port, 1e-12));
        CHECK_THAT(shape.seat_lift.back(), WithinAbs(told.mid_land, 1e-12));
        CHECK_THAT(shape.angle.back(), WithinRel(std::acos(-1.0) / 3.0, 1e-12));
        // Even steps of what is smooth: the mean of the picture is that of the ring.
        double sum = 0.5 * (shape.seat_lift.front() + shape.seat_lift.back());
        for (std::size_t i = 1; i + 1 < shape.seat_lift.size(); ++i)
            sum += shape.seat_lift[i];
        CHECK_THAT(sum / static_cast<double>(shape.seat_lift.size() - 1),
                   WithinRel(told.state.seat_lift, 1e-9));
        // The half-sections meet the seat at these lifts, and are clamped.
        for (const auto& [shims, lift] :
             {std::pair{&shape.first, told.mid_port}, std::pair{&shape.last, told.mid_land}}) {
            REQUIRE(shims->size() == 2);
            const stack::ShimShape& face = shims->front();
            CHECK(face.lift.front() == 0.0);
            CHECK(face.radius.back() == 15e-3);
            const auto at = std::lower_bound(face.radius.begin(), face.radius.end(),
                                             valve.stack.seat.inner_radius - 1e-9);
            CHECK_THAT(face.lift[static_cast<std::size_t>(at - face.radius.begin())], WithinAbs(lift, 1e-12));
        }
    }
    CHECK(bent >= 3);
    const Json drawn = json(solved);
    const Json& last = drawn.at("states").back().at("not_round");
    CHECK(last.at("over_ports") == true);
    CHECK(last.at("waves") == 3);
    CHECK(last.at("first_lift_m").get<double>() > last.at("last_lift_m").get<double>());
    CHECK(last.at("angle_rad").size() == last.at("ring_lift_m").size());
    CHECK(last.at("last_shims").at(1).at("radius_m").back() == 13e-3);

    // Beyond buckling, and taken for round.
    valve.stack.windows = 0;
    valve.stack.coverage = 1.0;
    const study::Section waves = study::section("base.compression", valve, lifts);
    const auto from = lifts.solution(valve.stack)->waves_up_to(200e5);
    REQUIRE(from);
    REQUIRE(waves.states.back().shape.state.pressure > from->pressure);
    for (const study::Section::State& state : waves.states)
        CHECK(bool(state.uneven) == (state.shape.state.pressure > from->pressure));
    CHECK(waves.states.back().uneven->lift.crest == waves.states.back().uneven->lift.mid_port);
    damper::LiftCache round({.shape = stack::Shape::round});
    for (const study::Section::State& state : study::section("base.compression", valve, round).states)
        CHECK_FALSE(state.uneven);
}
