#include <stack/samples.hpp>
#include <stack/solved.hpp>
#include <stack/windowed.hpp>
#include <support/catch.hpp>
#include <valve/stack/lift_law.hpp>
#include <valve/stack/solution.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <optional>
#include <utility>

using namespace valve;
using namespace valve::stack;
using valve::stack::testing::check_plate;
using valve::stack::testing::curve_of;
using valve::stack::testing::states_at;

namespace {

Stack two_stage() {
    Stack stack;
    stack.clamp_radius = stack.bore_radius = 6e-3;
    stack.zone = {7e-3, 11e-3};
    stack.seat = {11e-3, 11.5e-3, 0.05e-3};
    for (const auto& [outer, thickness] :
         {std::pair{12.0, 0.15}, {12.0, 0.15}, {8.0, 0.10}, {12.0, 0.15}, {10.0, 0.2}})
        stack.shims.push_back({1e-3 * outer, 1e-3 * thickness, {}});
    return stack;
}

const Event* find(const LiftCurve& curve, EventKind kind) {
    for (const Event& event : curve.events)
        if (event.kind == kind) return &event;
    return nullptr;
}

} // namespace

TEST_CASE("lift never falls along the pressure, and forces balance the load", "[stack]") {
    for (const Theory theory : {Theory::linear, Theory::large_deflection}) {
        for (const Stack& stack : {two_stage(), check_plate()}) {
            const LiftCurve curve = curve_of(stack, {.theory = theory, .max_pressure = 20e5});
            double lift = -1e-9;
            for (const LiftPoint& p : curve.points) {
                CHECK(p.seat_lift >= lift - 1e-10);
                lift = p.seat_lift;
                const double spring =
                    stack.floating ? stack.floating->preload + stack.floating->spring_rate * p.float_lift
                                   : 0.0;
                const double load = p.pressure * curve.load_area;
                CHECK_THAT(p.seat_force + p.hub_force - p.stop_force,
                           WithinAbs(spring - load, 1e-6 * (load + 10.0)));
            }
        }
    }
}

TEST_CASE("between the points of a curve its law is the lift", "[stack]") {
    Stack disc = check_plate();
    disc.disc = Disc{13e-3, 2e-3};
    disc.shims.clear();
    for (const Theory theory : {Theory::linear, Theory::large_deflection})
        for (const Stack& stack : {two_stage(), check_plate(), disc}) {
            const FollowOptions options{.theory = theory, .max_pressure = 20e5};
            const LiftCurve curve = curve_of(stack, options);
            const LiftLaw law(curve);
            std::vector<double> between;
            for (std::size_t i = 1; i < curve.points.size(); ++i)
                for (const double share : {0.2, 0.5, 0.8}) {
                    const double low = curve.points[i - 1].pressure;
                    between.push_back(low + share * (curve.points[i].pressure - low));
                }
            for (const LiftPoint& point : states_at(stack, between, options))
                // Twice what the curve is refined to, for that is an estimate.
                CHECK_THAT(law.at(point.pressure).lift,
                           WithinAbs(std::max(0.0, point.seat_lift), 2.0 * (1e-3 * point.seat_lift + 2e-8)));
        }
}

TEST_CASE("a preloaded stack cracks where its seat lets go", "[stack]") {
    const LiftCurve curve = curve_of(two_stage(), {.max_pressure = 20e5});
    const Event* crack = find(curve, EventKind::crack);
    REQUIRE(crack != nullptr);
    CHECK(crack->pressure == curve.crack_pressure);
    const std::array<double, 2> around{0.999 * curve.crack_pressure, 1.001 * curve.crack_pressure};
    const std::vector<LiftPoint> points = states_at(two_stage(), around);
    CHECK(points[0].seat_force > 0.0);
    CHECK_THAT(points[1].seat_force, WithinAbs(0.0, 1e-6)); // rounding
    REQUIRE(curve.opening_pressure);
    const std::array<double, 1> open{*curve.opening_pressure};
    CHECK_THAT(states_at(two_stage(), open)[0].seat_lift, WithinRel(0.02e-3, 1e-6));
}

TEST_CASE("the gap of a two-stage stack closes at the edge of the upper group", "[stack]") {
    const LiftCurve curve = curve_of(two_stage(), {.max_pressure = 50e5});
    const Event* touch = find(curve, EventKind::gap_closing);
    REQUIRE(touch != nullptr);
    CHECK(touch->shims == std::vector<int>{2, 4});
    CHECK_THAT(touch->radius, WithinAbs(12e-3, 1e-9));
    // Stiffer plates close it later.
    const LiftCurve linear = curve_of(two_stage(), {.theory = Theory::linear, .max_pressure = 50e5});
    CHECK(touch->pressure > find(linear, EventKind::gap_closing)->pressure);
}

TEST_CASE("a floated plate starts and stops where spring and load say", "[stack]") {
    const LiftCurve curve = curve_of(check_plate(), {.max_pressure = 5e5});
    // Vertical balance alone: the plate's bending takes no part in it.
    REQUIRE(curve.float_start_pressure);
    CHECK_THAT(*curve.float_start_pressure, WithinRel(2.0 / curve.load_area, 1e-6));
    const Event* stop = find(curve, EventKind::stop);
    REQUIRE(stop != nullptr);
    CHECK_THAT(stop->pressure, WithinRel((2.0 + 800.0 * 1.2e-3) / curve.load_area, 1e-6));
}

TEST_CASE("a floated plate that rests on its seat leaves its rest where the seat lets go", "[stack]") {
    Stack stack = check_plate();
    stack.floating->rests_on = RestsOn::seat;
    const LiftCurve curve = curve_of(stack, {.max_pressure = 5e5});
    REQUIRE(curve.float_start_pressure);
    // Coil and pressure alone balance, the coil longer by what the ring has sunk: no hub takes part.
    const std::array<double, 1> start{*curve.float_start_pressure};
    const LiftPoint at_start = states_at(stack, start).front();
    CHECK(at_start.float_lift < 0.0);
    CHECK_THAT(start[0], WithinRel((2.0 + 800.0 * at_start.float_lift) / curve.load_area, 1e-6));
    CHECK(find(curve, EventKind::float_start) == nullptr);
    stack.floating.reset();
    stack.edge = InnerEdge::clamped;
    CHECK_FALSE(curve_of(stack, {.max_pressure = 5e5}).float_start_pressure);
}

TEST_CASE("a rigid disc follows its coil in closed form", "[stack]") {
    Stack stack = check_plate();
    stack.disc = Disc{13e-3, 2e-3};
    stack.shims.clear();
    const LiftCurve curve = curve_of(stack, {.max_pressure = 5e5});
    CHECK_THAT(curve.crack_pressure, WithinRel(2.0 / curve.load_area, 1e-12));
    CHECK(curve.points.back().float_lift == 1.2e-3);
    for (const LiftPoint& p : curve.points)
        CHECK_THAT(p.seat_force + p.hub_force - p.stop_force,
                   WithinAbs(2.0 + 800.0 * p.float_lift - p.pressure * curve.load_area, 1e-9));
}

TEST_CASE("a float without a spring still has one lift for a pressure", "[stack]") {
    Stack stack = check_plate();
    stack.floating->spring_rate = 0.0;
    const LiftCurve curve = curve_of(stack, {.max_pressure = 1e5});
    const Event* stop = find(curve, EventKind::stop);
    REQUIRE(stop != nullptr);
    CHECK_THAT(stop->pressure - *curve.float_start_pressure, WithinAbs(10.0, 0.1)); // no_spring_pressure
}

TEST_CASE("beyond the theory a curve ends and says why", "[stack]") {
    Stack stack = check_plate();
    stack.shims[0].thickness = 0.05e-3;
    const LiftCurve curve = curve_of(stack, {.max_pressure = 200e5});
    REQUIRE(curve.end_reason);
    CHECK(curve.end_reason->find("0.5 rad") != std::string::npos);
    const double end = curve.points.back().pressure;
    CHECK(end < 200e5);
    const std::array<double, 1> beyond{1.001 * end};
    CHECK_THROWS_AS(states_at(stack, beyond), SolveError);
}

TEST_CASE("a curve ends where the strip is at twice its yield, and says so", "[stack]") {
    Stack stack = check_plate();
    stack.shims[0].material.yield_strength = 400e6;
    const LiftCurve curve = curve_of(stack, {.max_pressure = 200e5});
    REQUIRE(curve.end_reason);
    CHECK_THAT(*curve.end_reason, contains_text("the stress in shim 1 is more than 2 times its yield"));
    CHECK_THAT(curve.points.back().of_yield->share, WithinRel(2.0, 1e-3)); // the end is found to 1e-4
}

TEST_CASE("a stack bent beyond the theory by its own seat has no curve, and says so", "[stack]") {
    Stack stack = testing::check_plate();
    stack.floating.reset();
    stack.edge = InnerEdge::clamped;
    stack.shims.resize(3, stack.shims.front());
    stack.seat.height = 2e-3; // over 3 mm from the clamp
    CHECK_THROWS_WITH(curve_of(stack),
                      contains_text("the stack has no lift curve: at rest shim 1 slopes by more "
                                    "than 0.5 rad"));
}

TEST_CASE("the edge's lift counts from rest though a high seat holds the shims bent", "[stack]") {
    for (const Theory theory : {Theory::linear, Theory::large_deflection}) {
        const Solution solution(two_stage(), {.theory = theory, .max_pressure = 20e5});
        REQUIRE(solution.stack().seat.height > 0.0);
        CHECK_THAT(solution.at(0.0).edge_lift, WithinAbs(0.0, 1e-12));
        CHECK(solution.at(20e5).edge_lift > 0.1e-3);
    }
    // Over ports, round the ring.
    const Solution uneven(testing::windowed({{16.0, 0.2}, {12.0, 0.2}}, 4, 0.5, 0.1));
    const std::optional<UnevenLift> rest = uneven.uneven(0.0);
    REQUIRE(rest);
    CHECK_THAT(rest->state.edge_lift, WithinAbs(0.0, 1e-9));
    CHECK(uneven.uneven(1e5).value().state.edge_lift > 1e-6);
}
