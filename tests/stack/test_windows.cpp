#include <stack/samples.hpp>
#include <stack/windowed.hpp>
#include <support/catch.hpp>
#include <valve/stack/detail/path.hpp>
#include <valve/stack/detail/windows.hpp>

#include <cmath>
#include <numbers>
#include <stdexcept>

using namespace valve::stack;
using testing::windowed;

namespace {

RingLift ring_at(const Stack& stack, double pressure, Theory theory = Theory::large_deflection,
                 const valve::plate::Grading& grading = {}) {
    Path path(stack, theory, grading);
    const State* state = path.at(pressure);
    REQUIRE(state != nullptr);
    const std::optional<RingLift> ring = ring_lift(path.problem(), *state);
    REQUIRE(ring);
    return *ring;
}

double seat_load(Path& path, double pressure) {
    return seat_load_mid_port(path.problem(), *path.at(pressure)).value();
}

} // namespace

TEST_CASE("the harmonics of windows add up to windows", "[stack][windows]") {
    for (const double coverage : {0.3, 0.5, 0.85}) {
        CAPTURE(coverage);
        double mid_port = 0.0;
        double mid_land = 0.0;
        double square = coverage * coverage; // mean square of the pattern, by Parseval
        for (int k = 0; k <= 20000; ++k) {
            const double a = window_harmonic(coverage, k);
            mid_port += a;
            mid_land += k % 2 == 0 ? a : -a;
            if (k > 0) square += 0.5 * a * a;
        }
        CHECK_THAT(mid_port, WithinAbs(1.0, 1e-4)); // the rest of the series is some 1/k
        CHECK_THAT(mid_land, WithinAbs(0.0, 1e-4));
        CHECK_THAT(square, WithinAbs(coverage, 1e-5)); // what is 1 or 0 is its own square
    }
    CHECK(window_harmonic(0.4, 0) == 0.4);
    for (int k = 1; k < 5; ++k)
        CHECK_THAT(window_harmonic(1.0, k), WithinAbs(0.0, 1e-16)); // rounding of sin πk
}

TEST_CASE("windows that open the whole ring lift the stack evenly", "[stack][windows]") {
    const RingLift ring = ring_at(windowed({{15, 0.2}, {12, 0.2}}, 4, 1.0), 1e5);
    CHECK(ring.mean > 0.05e-3);
    CHECK_THAT(ring.mid_port, WithinRel(ring.mean, 1e-12));
    CHECK_THAT(ring.mid_land, WithinRel(ring.mean, 1e-12));
    CHECK_THAT(ring.open_arcs, WithinRel(ring.mean, 1e-12));

    Path shut(windowed({{15, 0.2}}, 4, 1.0, 0.1), Theory::large_deflection, {});
    CHECK_THAT(2.0 * std::numbers::pi * seat_load(shut, 0.1e5),
               WithinRel(shut.point(0.1e5)->seat_force, 1e-12));
}

TEST_CASE("the more windows, the more even the lift", "[stack][windows]") {
    double before = 2.0;
    for (const int windows : {2, 3, 4, 6, 12, 24}) {
        CAPTURE(windows);
        const RingLift ring = ring_at(windowed({{15, 0.2}, {12, 0.2}}, windows, 0.6), 0.3e5);
        CHECK(ring.mid_port > ring.open_arcs);
        CHECK(ring.open_arcs > ring.mean);
        CHECK(ring.mid_land < ring.mean);
        const double uneven = (ring.mid_port - ring.mid_land) / ring.mean;
        CHECK(uneven < before);
        before = uneven;
    }
    CHECK(before < 1e-3); // the bending stiffness against n waves grows as n⁴
}

TEST_CASE("windows do not change the mean of the lift curve", "[stack][windows]") {
    Stack stack = windowed({{15, 0.2}, {13, 0.2}}, 3, 0.7);
    const RingLift ring = ring_at(stack, 1e5);
    stack.windows = 0;
    Path path(stack, Theory::large_deflection, {});
    CHECK(ring.mean == path.point(1e5)->seat_lift);
}

TEST_CASE("without waves the compliance is the slope of the lift curve and of its seat force",
          "[stack][windows]") {
    constexpr double step = 20.0; // [Pa]
    const auto slope_of = [&](Path& path, double pressure, double LiftPoint::*value) {
        return ((*path.point(pressure + step)).*value - (*path.point(pressure - step)).*value) / (2.0 * step);
    };
    for (const Theory theory : {Theory::linear, Theory::large_deflection}) {
        const Stack stack = windowed({{15, 0.2}, {15, 0.2}, {11, 0.2}}, 4, 0.6, 0.05);
        Path path(stack, theory, {});
        constexpr double open = 1.5e5;
        const auto lifted = ring_compliance(path.problem(), *path.at(open), 0);
        REQUIRE(lifted);
        // 1 Pa under the ports is `coverage` of it round the ring; differences of lifts of 1e-4 m keep 6
        // digits.
        CHECK_THAT(stack.coverage * lifted->lift,
                   WithinRel(slope_of(path, open, &LiftPoint::seat_lift), 1e-5));
        CHECK(lifted->seat_load == 0.0);

        constexpr double shut = 0.3e5;
        const auto closed = ring_compliance(path.problem(), *path.at(shut), 0);
        REQUIRE(closed);
        CHECK_THAT(2.0 * std::numbers::pi * stack.coverage * closed->seat_load,
                   WithinRel(slope_of(path, shut, &LiftPoint::seat_force), 1e-4));
        CHECK_THAT(closed->lift, WithinAbs(0.0, 1e-18));
    }
}

TEST_CASE("equal shims share their waves: each as one under its part of the pressure", "[stack][windows]") {
    for (const Theory theory : {Theory::linear, Theory::large_deflection}) {
        const RingLift one = ring_at(windowed({{15, 0.2}}, 4, 0.6), 0.5e5, theory);
        const RingLift three = ring_at(windowed({{15, 0.2}, {15, 0.2}, {15, 0.2}}, 4, 0.6), 1.5e5, theory);
        CHECK_THAT(three.mid_port, WithinRel(one.mid_port, 1e-6)); // the solver's accuracy
        CHECK_THAT(three.mid_land, WithinRel(one.mid_land, 1e-6));
    }
}

TEST_CASE("waves scale as plates do: twice the thickness, twice the lift at 16 times the pressure",
          "[stack][windows]") {
    const RingLift thin = ring_at(windowed({{15, 0.1}}, 4, 0.6), 0.05e5);
    const RingLift thick = ring_at(windowed({{15, 0.2}}, 4, 0.6), 0.8e5);
    CHECK_THAT(thick.mid_port, WithinRel(2.0 * thin.mid_port, 1e-6)); // the solver's accuracy
    CHECK_THAT(thick.mid_land, WithinRel(2.0 * thin.mid_land, 1e-6));
    CHECK_THAT(thick.waviness, WithinRel(thin.waviness, 1e-6));
}

TEST_CASE("lift at ports and between them converges with elements", "[stack][windows]") {
    const Stack stack = windowed({{15, 0.2}, {12, 0.2}}, 4, 0.6);
    const RingLift coarse = ring_at(stack, 1e5, Theory::large_deflection, {.elements = 20});
    const RingLift usual = ring_at(stack, 1e5);
    const RingLift fine = ring_at(stack, 1e5, Theory::large_deflection, {.elements = 160});
    CHECK(usual.harmonics < 12);
    CHECK_THAT(usual.mid_port, WithinRel(fine.mid_port, 1e-4));
    CHECK_THAT(usual.mid_land, WithinRel(fine.mid_land, 1e-4));
    CHECK(std::abs(usual.mid_land - fine.mid_land) < std::abs(coarse.mid_land - fine.mid_land));
}

TEST_CASE("under few wide windows the seat feels what it would under a full ring", "[stack][windows]") {
    // A port of 153° is many times wider than the waves that the clamp lets the shim make.
    const auto load = [](int windows, double coverage) {
        Path path(windowed({{15, 0.2}}, windows, coverage, 0.1), Theory::large_deflection, {});
        return seat_load(path, 0.2e5);
    };
    const double at_port = load(2, 0.85);
    const double full = load(2, 1.0);
    const double mean = load(24, 0.85);
    CHECK_THAT(at_port, WithinRel(full, 0.02));
    CHECK(mean > 1.2 * full);
}

TEST_CASE("a floated plate under windows waves on its hub, in its float and on its stop",
          "[stack][windows]") {
    Stack stack = testing::check_plate();
    stack.windows = 4;
    stack.coverage = 0.6;
    for (const double pressure : {0.02e5, 0.15e5, 3e5}) {
        CAPTURE(pressure);
        const RingLift ring = ring_at(stack, pressure);
        CHECK(ring.mid_port > ring.mid_land);
        CHECK(ring.mean > 0.0);
    }
}

TEST_CASE("a round state that does not stay has no waves to tell, nor a stack without windows",
          "[stack][windows]") {
    const Stack stack = windowed({{15, 0.1}}, 4, 0.6);
    Path path(stack, Theory::large_deflection, {});
    CHECK_FALSE(ring_lift(path.problem(), *path.at(2e5)));
    const Stack ring = windowed({{15, 0.1}}, 0, 0.6);
    Path round(ring, Theory::large_deflection, {});
    CHECK_THROWS_AS(ring_lift(round.problem(), *round.at(0.1e5)), std::invalid_argument);
    CHECK_THROWS_AS(seat_load_mid_port(round.problem(), *round.at(0.1e5)), std::invalid_argument);
}
