#include <stack/samples.hpp>
#include <stack/windowed.hpp>
#include <support/catch.hpp>
#include <valve/stack/solution.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <vector>

using namespace valve::stack;
using std::numbers::pi;
using testing::windowed;

namespace {

void check_rises(const Motion& motion) {
    REQUIRE(motion.points.size() >= 2);
    CHECK(motion.points.front().lift == 0.0);
    for (std::size_t i = 0; i < motion.points.size(); ++i) {
        const MotionPoint& point = motion.points[i];
        if (i > 0) {
            CHECK(point.lift > motion.points[i - 1].lift);
            CHECK(point.pressure > motion.points[i - 1].pressure);
        }
        for (const MotionSide& side : {point.below, point.above}) {
            CHECK(side.mass > 0.0);
            CHECK(side.oil_volume > 0.0);
            CHECK(side.area > 0.0);
        }
    }
}

} // namespace

TEST_CASE("a plate that floats without bending moves with its mass, its oil and the area of its load",
          "[stack][motion]") {
    Stack stack = testing::check_plate();
    stack.shims.front().thickness = 3e-3; // as good as rigid
    stack.bore_radius = stack.clamp_radius = 0.2e-3;
    stack.floating->ring_radius = stack.floating->spring_radius = stack.floating->stop_radius = 0.2e-3;
    const Solution solution(stack, {.max_pressure = 0.14e5});
    const Motion& motion = solution.motion();
    check_rises(motion);
    const double a = stack.shims.front().outer_radius;
    const double b = stack.bore_radius;
    const double mass = 7850.0 * 3e-3 * pi * (a * a - b * b);
    const double area = solution.curve().load_area;
    REQUIRE(solution.curve().float_start_pressure);
    int afloat = 0;
    for (const MotionPoint& point : motion.points) {
        // Until the float lets go the plate cones on its hub, and from its stop on again.
        if (point.pressure < *solution.curve().float_start_pressure || point.lift > 1.1e-3) continue;
        ++afloat;
        // It gives a little all the same, some 1e-5 of its lift.
        CHECK_THAT(point.above.mass, WithinRel(mass, 1e-3));
        CHECK_THAT(point.above.area, WithinRel(area, 1e-3));
        // The disc without a bore (lamb_1932, art. 102); a bore of b/a = 1/65 takes
        // off some (b/a)², and 40 terms end some way before that.
        CHECK_THAT(point.above.oil_volume, WithinRel(8.0 / 3.0 * a * a * a, 2e-3));
    }
    CHECK(afloat >= 2);
}

TEST_CASE("a rigid disc moves with its stated mass up to its stop", "[stack][motion]") {
    Stack stack = testing::check_plate();
    stack.shims.clear();
    stack.disc = Disc{13e-3, 5e-3};
    const Solution solution(stack, {.max_pressure = 1e5});
    const Motion& motion = solution.motion();
    check_rises(motion);
    CHECK(motion.stops);
    CHECK_THAT(motion.points.back().lift, WithinRel(1.2e-3, 1e-12));
    for (const MotionPoint& point : motion.points) {
        CHECK(point.above.mass == 5e-3);
        CHECK_THAT(point.above.oil_volume, WithinRel(8.0 / 3.0 * std::pow(13e-3, 3), 1e-12));
        CHECK(point.above.area == solution.curve().load_area);
        // F_0 + k y on the load's area
        CHECK_THAT(point.pressure * point.above.area, WithinRel(2.0 + 800.0 * point.lift, 1e-9));
    }
    stack.disc->mass = 0.0;
    CHECK_THROWS_AS(Solution(stack).motion(), std::invalid_argument);
}

TEST_CASE("a clamped shim just lifted moves with about its first natural frequency", "[stack][motion]") {
    for (const auto& cuts : {std::vector<testing::Cut>{{15, 0.2}}, {{15, 0.2}, {11, 0.2}}}) {
        const Solution solution(windowed(cuts, 0, 1.0), {.max_pressure = 5e5});
        const Motion& motion = solution.motion();
        check_rises(motion);
        // Stiffness A dp/dy; the first points lie so near that p is linear there.
        const MotionPoint& first = motion.points.front();
        const double rate = solution.curve().points.front().rate_after;
        const double stiffness = first.above.area / rate;
        const auto frequency = [](double k, double m) { return std::sqrt(k / m) / (2.0 * pi); };
        const Modes modes = solution.modes({.oil_density = 850.0, .most_diameters = 0, .families = 1});
        const double air = frequency(stiffness, first.above.mass) / *modes.modes.front().frequency_air;
        const double oil = frequency(stiffness, first.above.mass + 850.0 * first.above.oil_volume) /
                           *modes.modes.front().frequency_oil;
        CAPTURE(cuts.size(), air, oil);
        // Rayleigh's quotient of the shape under pressure: of one shim never below the lowest, and above it
        // by the square of how little the shapes differ. Of two, pressure parts them but for the smaller
        // one's edge, where the modes hold together all that touches at rest: then it may be less.
        CHECK(air >= (cuts.size() == 1 ? 1.0 : 0.98));
        CHECK(air < 1.02);
        CHECK(oil >= (cuts.size() == 1 ? 1.0 : 0.98));
        CHECK(oil < 1.02);
    }
}

TEST_CASE("the area of a motion is what the face shim sweeps, per lift", "[stack][motion]") {
    Stack stack = windowed({{15, 0.2}, {13, 0.15}, {7, 0.1}, {12, 0.2}}, 0, 1.0, 0.05);
    stack.seat = {14e-3, 14e-3, 0.05e-3}; // a knife edge: the load ends where the pressure does
    const Solution solution(stack, {.max_pressure = 8e5});
    const Motion& motion = solution.motion();
    check_rises(motion);
    const std::vector<Event>& events = solution.curve().events;
    const auto volume = [&](double pressure) { // under the face shim from 8 to 14 mm
        const StackShape shape = solution.shape(pressure);
        const ShimShape& face = shape.shims.front();
        double sum = 0.0;
        for (std::size_t i = 1; i < face.radius.size(); ++i) {
            if (face.radius[i - 1] < 8e-3 - 1e-9 || face.radius[i] > 14e-3 + 1e-9) continue;
            sum += (face.radius[i] - face.radius[i - 1]) * pi *
                   (face.radius[i] * face.lift[i] + face.radius[i - 1] * face.lift[i - 1]);
        }
        return sum;
    };
    int compared = 0;
    for (const MotionPoint& point : motion.points) {
        const double low = 0.99 * point.pressure;
        const double high = 1.01 * point.pressure;
        const bool at_an_event = std::any_of(events.begin(), events.end(), [&](const Event& event) {
            return event.pressure >= low && event.pressure <= high;
        });
        if (at_an_event || high > 8e5) continue;
        ++compared;
        const double swept =
            (volume(high) - volume(low)) / (solution.at(high).seat_lift - solution.at(low).seat_lift);
        CHECK_THAT(point.above.area, WithinRel(swept, 5e-3)); // the trapezoidal rule on elements of 0.3 mm
    }
    CHECK(compared > 5);
}

TEST_CASE("at an event mass and area have a value on either side", "[stack][motion]") {
    const Solution solution(testing::check_plate(), {.max_pressure = 5e5});
    const Motion& motion = solution.motion();
    check_rises(motion);
    const LiftCurve& curve = solution.curve();
    int jumps = 0;
    for (const MotionPoint& point : motion.points) {
        const bool jumps_here = std::abs(point.below.mass / point.above.mass - 1.0) > 0.05;
        if (!jumps_here) continue;
        ++jumps;
        CHECK(std::any_of(curve.events.begin(), curve.events.end(), [&](const Event& event) {
            return std::abs(event.pressure - point.pressure) <= 1e-6 * point.pressure;
        }));
    }
    CHECK(jumps >= 1); // the stop: until then the plate moves as a whole, then it bends about it
}

TEST_CASE("a stack that never opens does not move, and says so", "[stack][motion]") {
    const Solution shut(windowed({{15, 0.3}, {15, 0.3}}, 0, 1.0, 0.2), {.max_pressure = 0.1e5});
    CHECK_THROWS_AS(shut.motion(), valve::SolveError);
}

TEST_CASE("shims that slide rub in motion as in the steady estimate", "[stack][motion]") {
    Stack stack = windowed({{15, 0.2}, {15, 0.2}, {12, 0.3}}, 0, 1.0);
    stack.seat.height = 0.1e-3; // preload
    const Solution solution(stack);
    int looked_at = 0;
    for (const MotionPoint& point : solution.motion().points) {
        if (point.below.friction != point.above.friction) continue; // an event
        const double estimated = solution.friction(point.pressure, 1.0).share * point.pressure;
        CHECK(estimated > 0.0);
        CHECK_THAT(point.above.friction, WithinRel(estimated, 1e-6));
        ++looked_at;
    }
    CHECK(looked_at > 3);
}
