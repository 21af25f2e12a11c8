#include <stack/samples.hpp>
#include <stack/windowed.hpp>
#include <support/catch.hpp>
#include <valve/stack/detail/ring_law.hpp>
#include <valve/stack/uneven_law.hpp>

#include <algorithm>
#include <cmath>
#include <memory>
#include <optional>
#include <stdexcept>
#include <vector>

using namespace valve::stack;
using testing::windowed;

namespace {

const FollowOptions to_ten_bar{Theory::large_deflection, 10e5};

/// Pressures at which the law stands on a state of its own, up to `most`, and its end among them.
std::vector<double> knots(const Solution& solution, double most) {
    std::vector<double> found;
    double pressure = solution.uneven_from(most).value();
    while (pressure < most) {
        pressure = solution.uneven_next(pressure);
        if (!std::isfinite(pressure)) break;
        found.push_back(pressure);
    }
    return found;
}

} // namespace

TEST_CASE("the flow law of a stack in waves stands on its states", "[stack][uneven]") {
    const Solution solution(windowed({{15, 0.2}, {13, 0.15}}, 0, 1.0), to_ten_bar);
    const double begin = solution.uneven_from(10e5).value();
    // Where faces touch waves grow up to some per cent above where the round shape is told to buckle.
    CHECK(begin >= solution.waves_up_to(10e5)->pressure);
    CHECK(begin < 1.02 * solution.waves_up_to(10e5)->pressure);
    CHECK_FALSE(solution.uneven(begin));
    CHECK_FALSE(solution.uneven_from(begin));
    CHECK_THROWS_AS(solution.uneven_law(0.99 * begin), std::invalid_argument);

    // It begins at the round law's lift, and with a kink goes on steeper.
    CHECK(solution.uneven_law(begin).ring.lift == solution.law().at(begin).lift);
    const UnevenLawValue next = solution.uneven_law(begin * (1.0 + 1e-6));
    CHECK_THAT(next.ring.lift, WithinRel(solution.law().at(begin).lift, 1e-5));
    CHECK(next.ring.slope > 1.1 * solution.law().at(begin).slope);

    double lift = solution.law().at(begin).lift;
    double before = begin;
    const std::vector<double> pressures = knots(solution, 5.0 * begin);
    REQUIRE(pressures.size() > 4);
    // What it begins above its states with, since the round law's shims touch at their middles, goes evenly.
    const double more = lift - solution.uneven(begin * (1.0 + 1e-6))->state.seat_lift;
    CHECK(std::abs(more) < 2e-3 * lift);
    const auto left_at = [&](double pressure) {
        return more * std::max(0.0, (pressures[0] - pressure) / (pressures[0] - begin));
    };
    for (const double pressure : pressures) {
        CAPTURE(pressure / begin);
        const UnevenLawValue value = solution.uneven_law(pressure);
        CHECK_THAT(value.ring.lift, WithinRel(solution.uneven(pressure)->state.seat_lift, 1e-12));
        CHECK(value.open_arcs.lift == value.ring.lift);
        CHECK(value.ring.lift > lift);
        for (const double share : {0.2, 0.37, 0.71}) {
            const double between = before + share * (pressure - before);
            const double solved = solution.uneven(between)->state.seat_lift + left_at(between);
            CHECK_THAT(solution.uneven_law(between).ring.lift,
                       WithinAbs(solved, RingLaw::accuracy * solved + RingLaw::resolution));
        }
        // The rate there is that of the states.
        const double step = 1e-3 * pressure;
        const double rise = (solution.uneven(pressure + step)->state.seat_lift -
                             solution.uneven(pressure - step)->state.seat_lift) /
                            (2.0 * step);
        CHECK_THAT(value.ring.slope, WithinRel(rise, 1e-4));
        lift = value.ring.lift;
        before = pressure;
    }
}

TEST_CASE("the flow law of a stack in waves ends where its strip does", "[stack][uneven]") {
    Stack stack = windowed({{15, 0.2}}, 0, 1.0);
    stack.shims[0].material.yield_strength = 900e6;
    const Solution solution(stack, {Theory::large_deflection, 40e5});
    const double end = solution.uneven_end();
    REQUIRE(end < 40e5);
    CHECK(solution.uneven(end)->state.of_yield->share < 2.0);
    CHECK_THROWS(solution.uneven(1.02 * end));
    CHECK(std::isinf(solution.uneven_next(end)));
    const UnevenLawValue last = solution.uneven_law(end);
    const UnevenLawValue beyond = solution.uneven_law(1.1 * end);
    CHECK_FALSE(last.beyond_end);
    CHECK(beyond.beyond_end);
    CHECK_THAT(beyond.ring.lift, WithinRel(last.ring.lift + 0.1 * end * last.ring.slope, 1e-9));

    // The strip's own limits are passed earlier than by the round shape.
    const StressLimits limits = solution.limits(end);
    REQUIRE(limits.set);
    CHECK(limits.set->pressure < solution.curve().set->pressure);
    CHECK_THAT(solution.uneven(limits.set->pressure)->state.of_yield->share, WithinRel(1.0, 5e-3));

    // Where it would yield at once, too.
    stack.shims[0].material.yield_strength = 420e6;
    const Solution weak(stack, {Theory::large_deflection, 40e5});
    const double begin = weak.uneven_from(40e5).value();
    REQUIRE(weak.uneven_end() > begin);
    CHECK(weak.uneven_end() < 1.12 * begin);

    // Without yield the law ends where the caller's does.
    const Solution strong(windowed({{15, 0.2}}, 0, 1.0), {Theory::large_deflection, 3e5});
    CHECK(strong.uneven_end() == 3e5);
}

TEST_CASE("a flow law of waves does not depend on what was asked before", "[stack][uneven]") {
    const Stack stack = windowed({{15, 0.2}}, 0, 1.0);
    const Solution one(stack, to_ten_bar);
    const Solution other(stack, to_ten_bar);
    const double begin = one.uneven_from(10e5).value();
    std::vector<double> upwards;
    for (const double times : {1.01, 1.2, 2.0, 3.3})
        upwards.push_back(one.uneven_law(times * begin).ring.lift);
    other.uneven(2.5 * begin);
    CHECK(other.uneven_law(3.3 * begin).ring.lift == upwards[3]);
    CHECK(other.uneven_law(1.01 * begin).ring.lift == upwards[0]);
    CHECK(other.uneven_law(2.0 * begin).ring.lift == upwards[2]);
    CHECK(other.uneven_law(1.2 * begin).ring.lift == upwards[1]);
}

TEST_CASE("over windows a flow law begins as the shim opens at the ports", "[stack][uneven]") {
    const Solution solution(windowed({{15, 0.2}}, 3, 0.5, 0.1), to_ten_bar);
    const double begin = solution.uneven_from(10e5).value();
    CHECK_THAT(begin, WithinRel(*solution.uneven_crack()->mid_port, 2e-3));
    CHECK(begin < solution.law().opening_pressure());
    CHECK(solution.uneven_law(begin).ring.lift == 0.0);
    for (const double pressure : {1.05 * begin, 1.4 * begin, 2.2 * begin, 4.1 * begin}) {
        CAPTURE(pressure / begin);
        const UnevenLift lift = solution.uneven(pressure).value();
        const UnevenLawValue law = solution.uneven_law(pressure);
        // A contact that comes or goes between halves may cost a little more.
        CHECK_THAT(law.ring.lift, WithinAbs(lift.state.seat_lift, 2e-3 * lift.state.seat_lift + 3e-7));
        CHECK_THAT(law.open_arcs.lift, WithinAbs(lift.open_arcs, 2e-3 * lift.open_arcs + 3e-7));
        CHECK(law.open_arcs.lift > law.ring.lift);
    }
    const UnevenLaw over_ports(std::make_shared<const Solution>(solution.stack(), to_ten_bar), true);
    CHECK(over_ports.from_opening());
    CHECK(over_ports.at(2.2 * begin).lift.lift == solution.uneven_law(2.2 * begin).open_arcs.lift);
}

TEST_CASE("the flow law over windows has the harmonics and the round law for limits", "[stack][uneven]") {
    // Low waves are linear.
    const Solution windows(windowed({{15, 0.2}, {12, 0.2}}, 4, 0.6), to_ten_bar);
    const double pressure = 0.05e5;
    CHECK_THAT(windows.uneven_law(pressure).open_arcs.lift,
               WithinRel(windows.law_over_ports().law.at(pressure).lift, 5e-3));
    CHECK_THAT(windows.uneven_law(pressure).ring.lift, WithinRel(windows.law().at(pressure).lift, 5e-3));

    // Windows over the whole ring are none.
    const Solution whole(windowed({{15, 0.2}, {12, 0.2}}, 4, 1.0), to_ten_bar);
    for (const double p : {0.03e5, 0.5e5, 1e5})
        CHECK_THAT(whole.uneven_law(p).ring.lift, WithinRel(whole.law().at(p).lift, 2e-3));
}

TEST_CASE("a check plate over windows has a flow law through its float and its stop", "[stack][uneven]") {
    Stack stack = testing::check_plate();
    stack.windows = 4;
    stack.coverage = 0.6;
    const Solution solution(stack, to_ten_bar);
    double before = 0.0;
    for (const double pressure : {0.02e5, 0.1e5, 0.3e5, 0.6e5, 1.5e5, 4e5}) {
        CAPTURE(pressure);
        const double lift = solution.uneven(pressure)->state.seat_lift;
        const double law = solution.uneven_law(pressure).ring.lift;
        CHECK_THAT(law, WithinAbs(lift, 2e-3 * lift + 3e-7));
        CHECK(law >= before);
        before = law;
    }
}

TEST_CASE("linear plates, guided floats and stacks that stay round have no uneven flow law",
          "[stack][uneven]") {
    CHECK_FALSE(Solution(windowed({{15, 0.2}}, 3, 0.5), {Theory::linear, 10e5}).uneven_from(10e5));
    CHECK_FALSE(Solution(windowed({{15, 0.2}}, 0, 1.0), to_ten_bar).uneven_from(0.5e5));
    Stack level = testing::check_plate();
    level.edge = InnerEdge::guided;
    CHECK_FALSE(Solution(level, to_ten_bar).uneven_from(10e5));
    CHECK_THROWS_AS(Solution(level, to_ten_bar).uneven_law(1e5), std::invalid_argument);
    CHECK_THROWS_AS(UnevenLaw(nullptr, false), std::invalid_argument);
}
