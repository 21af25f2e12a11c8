#include <stack/windowed.hpp>
#include <support/catch.hpp>
#include <valve/stack/detail/path.hpp>
#include <valve/stack/detail/windows.hpp>
#include <valve/stack/solution.hpp>

using namespace valve::stack;
using testing::windowed;

TEST_CASE("a preloaded stack cracks at its ports first, and lies down between them for a while",
          "[stack][windows]") {
    const Solution stack(windowed({{15, 0.2}, {13, 0.2}}, 4, 0.6, 0.05), {.max_pressure = 12e5});
    REQUIRE(stack.ring().crack_mid_port);
    CHECK(*stack.ring().crack_mid_port > 0.3 * stack.curve().crack_pressure);
    CHECK(*stack.ring().crack_mid_port < 0.9 * stack.curve().crack_pressure);
    Path path(stack.stack(), Theory::large_deflection, {});
    const auto seat_load = [&](double pressure) {
        return seat_load_mid_port(path.problem(), *path.at(pressure)).value();
    };
    CHECK(seat_load(0.99 * *stack.ring().crack_mid_port) > 0.0);
    CHECK(seat_load(1.01 * *stack.ring().crack_mid_port) < 0.0);

    REQUIRE(stack.ring().lies_down_until);
    CHECK(*stack.ring().lies_down_until > stack.curve().crack_pressure);
    CHECK(stack.ring_lift(0.99 * *stack.ring().lies_down_until)->mid_land < 0.0);
    CHECK(stack.ring_lift(1.01 * *stack.ring().lies_down_until)->mid_land > 0.0);
}

TEST_CASE("the more windows, the nearer their crack is to that of the mean", "[stack][windows]") {
    double before = 0.0;
    for (const int windows : {4, 8, 40}) {
        CAPTURE(windows);
        const Solution stack(windowed({{15, 0.2}}, windows, 0.6, 0.05), {.max_pressure = 2e5});
        REQUIRE(stack.ring().crack_mid_port);
        const double share = *stack.ring().crack_mid_port / stack.curve().crack_pressure;
        CHECK(share > before);
        before = share;
    }
    CHECK(before < 1.0);
}

TEST_CASE("harmonics hold up to a waviness, in linear theory to the end", "[stack][windows]") {
    const Stack stack = windowed({{15, 0.2}}, 4, 0.6);
    const Solution large(stack, {.max_pressure = 5e5});
    REQUIRE(large.ring().holds_until);
    const double end = *large.ring().holds_until;
    CHECK_THAT(large.ring_lift(end)->waviness, WithinRel(RingLift::most_waviness, 0.03));
    CHECK_FALSE(large.ring_lift(1.02 * end));
    const Solution linear(stack, {.theory = Theory::linear, .max_pressure = 5e5});
    CHECK_FALSE(linear.ring().holds_until);
    CHECK(linear.ring_lift(5e5)->waviness > 2.0 * RingLift::most_waviness);
}

TEST_CASE("the law of the open arcs is shut until the ports crack and then follows the harmonics",
          "[stack][windows]") {
    const Solution stack(windowed({{15, 0.2}, {13, 0.2}}, 4, 0.6, 0.05), {.max_pressure = 12e5});
    const LiftLaw& law = stack.law_over_ports().law;
    const LiftLaw& mean = stack.law();
    CHECK(law.opening_pressure() == *stack.ring().crack_mid_port);
    CHECK(law.max_pressure() == mean.max_pressure());
    CHECK(law.load_area() == mean.load_area());
    CHECK(law.at(0.99 * *stack.ring().crack_mid_port).lift == 0.0);
    CHECK(law.at(0.99 * stack.curve().crack_pressure).lift > 0.0);
    for (const double share : {1.05, 1.3, 2.0}) { // of the mean's crack
        const double pressure = share * stack.curve().crack_pressure;
        CAPTURE(pressure);
        const std::optional<RingLift> ring = stack.ring_lift(pressure);
        REQUIRE(ring);
        CHECK_THAT(law.at(pressure).lift, WithinRel(ring->open_arcs, 2e-3)); // that of both interpolations
    }
    // Beyond the harmonics the arcs stay as compliant as where they held.
    REQUIRE(stack.ring().holds_until);
    const double end = *stack.ring().holds_until;
    const auto above = [&](double pressure) { return law.at(pressure).lift - mean.at(pressure).lift; };
    CHECK_THAT(above(4.0 * end) / (4.0 * end), WithinRel(above(end) / end, 0.03));
}

TEST_CASE("windows over the whole ring make the law of the mean", "[stack][windows]") {
    const Solution stack(windowed({{15, 0.2}}, 4, 1.0, 0.05), {.max_pressure = 5e5});
    const LiftLaw& law = stack.law_over_ports().law;
    const LiftLaw& mean = stack.law();
    CHECK_THAT(law.opening_pressure(), WithinRel(mean.opening_pressure(), 2e-3)); // located to 1e-3
    for (const LiftPoint& point : stack.curve().points) // between them only the mean knows its rates
        if (point.pressure > 1e5)
            CHECK_THAT(law.at(point.pressure).lift, WithinRel(mean.at(point.pressure).lift, 1e-9));
    CHECK_THAT(law.at(3.3e5).lift, WithinRel(mean.at(3.3e5).lift, 2e-3)); // that of both interpolations
}

TEST_CASE("a stack that never opens has a law that is shut, and no crack at its ports", "[stack][windows]") {
    const Solution stack(windowed({{15, 0.3}, {15, 0.3}}, 4, 0.6, 0.2), {.max_pressure = 0.1e5});
    CHECK_FALSE(stack.ring().crack_mid_port);
    const LiftLaw& law = stack.law_over_ports().law;
    CHECK(law.at(0.1e5).lift == 0.0);
    CHECK(law.opening_pressure() == 0.1e5);
}
