#include <stack/samples.hpp>
#include <stack/solved.hpp>
#include <support/catch.hpp>
#include <valve/stack/solution.hpp>

#include <array>

using namespace valve;
using namespace valve::stack;

TEST_CASE("shares of a limit follow the strip's data", "[stack]") {
    plate::Material strip;
    CHECK_FALSE(yield_share(500e6, strip));
    CHECK_FALSE(fatigue_share(500e6, strip));
    strip.fatigue_limit = 500e6;
    CHECK_THAT(*fatigue_share(500e6, strip), WithinRel(0.5, 1e-12));
    strip.yield_strength = 1000e6;
    CHECK_THAT(*yield_share(500e6, strip), WithinRel(0.5, 1e-12));
    CHECK_THAT(*fatigue_share(500e6, strip), WithinRel(0.75, 1e-12)); // 250/500 + 250/1000
}

TEST_CASE("the pressures of a set and of endless life are those at which a share is 1", "[stack]") {
    Stack stack = testing::check_plate();
    stack.floating.reset();
    stack.edge = InnerEdge::clamped;
    stack.shims.push_back({11e-3, 0.15e-3, {}});
    stack.shims[0].material.yield_strength = 1500e6;
    stack.shims[1].material.fatigue_limit = 300e6; // each shim states a limit of its own
    const LiftCurve curve = testing::curve_of(stack, {.max_pressure = 40e5});
    REQUIRE(curve.set);
    REQUIRE(curve.fatigue);
    CHECK(curve.set->peak.shim == 1);
    CHECK(curve.fatigue->peak.shim == 2);
    const std::array<double, 2> pressures{curve.set->pressure, curve.fatigue->pressure};
    const std::vector<LiftPoint> points = testing::states_at(stack, pressures);
    CHECK_THAT(points[0].of_yield->share, WithinRel(1.0, 1e-5)); // located to 1e-6 of the pressure
    CHECK_THAT(points[1].of_fatigue->share, WithinRel(1.0, 1e-5));
}

TEST_CASE("a pivot inside a stack is where the shims under it peak", "[stack]") {
    // A small stiff shim over a wide one: the wide one bends round its edge, not at the clamp.
    Stack stack = testing::check_plate();
    stack.floating.reset();
    stack.edge = InnerEdge::clamped;
    stack.shims.push_back({11e-3, 1.0e-3, {}});
    const std::array<double, 1> pressure{5e5};
    const LiftPoint point = testing::states_at(stack, pressure).front();
    CHECK(point.peak.shim == 1);
    CHECK_THAT(point.peak.radius, WithinAbs(11e-3, 1e-9));
    CHECK(point.peak.face == Face::piston); // stretched on the side away from the pivot
}
