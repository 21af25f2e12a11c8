#include <flow/derivative.hpp>
#include <support/catch.hpp>
#include <valve/motion/input.hpp>

#include <limits>
#include <numbers>
#include <stdexcept>
#include <vector>

using namespace valve;
using motion::Input;

TEST_CASE("a sine begins at its outer end, at rest, and comes back", "[motion][input]") {
    const Input input = Input::sine(0.15, 0.06, 4.0);
    CHECK_THAT(input.at(0, 0.0).travel, WithinAbs(0.12, 1e-15));
    CHECK(input.at(0, 0.0).speed == 0.0);
    CHECK_THAT(input.at(0, 0.125).travel, WithinAbs(0.18, 1e-15));
    CHECK_THAT(input.at(0, 0.0625).speed, WithinRel(std::numbers::pi * 0.06 * 4.0, 1e-12));
    CHECK_THAT(input.at(7, 7.5 / 8.0).speed, WithinRel(-input.peak_speed(), 1e-12));
    CHECK(input.pieces_in_loop() == 2);
    CHECK(input.frequency() == 4.0);
}

TEST_CASE("a triangle has one speed either way", "[motion][input]") {
    const Input input = Input::triangle(0.15, 0.06, 4.0);
    CHECK_THAT(input.peak_speed(), WithinRel(0.48, 1e-14));
    CHECK_THAT(input.at(0, 0.125).travel, WithinAbs(0.18, 1e-15));
    CHECK(input.at(0, 0.125).speed > 0.0);
    CHECK(input.at(1, 0.125).speed < 0.0);
    CHECK_THAT(input.at(1, 0.25).travel, WithinAbs(0.12, 1e-15));
}

TEST_CASE("a ramp goes in, out and in again", "[motion][input]") {
    const Input input = Input::ramp(0.15, 0.06, 0.5);
    CHECK(input.pieces_before_loop() == 1);
    CHECK(!input.periodic());
    CHECK(!input.frequency());
    CHECK_THAT(input.piece(0).end, WithinRel(0.12, 1e-14));
    CHECK_THAT(input.at(2, input.piece(2).end).travel, WithinAbs(0.18, 1e-14));
    CHECK_THAT(input.at(1, 0.2).speed, WithinRel(-0.5, 1e-14));
}

TEST_CASE("a trace passes its points without a jump of speed and without overshoot", "[motion][input]") {
    const std::vector<double> times{1.0, 1.1, 1.3, 1.35, 1.6};
    const std::vector<double> travels{0.10, 0.12, 0.12, 0.05, 0.04};
    const Input input = Input::trace(times, travels);
    CHECK_THAT(input.loop_duration(), WithinRel(0.6, 1e-14));
    for (std::size_t i = 0; i < times.size(); ++i)
        CHECK_THAT(input.at(0, times[i] - 1.0).travel, WithinAbs(travels[i], 1e-15));
    for (double t = 0.005; t < 0.59; t += 0.0137) {
        CAPTURE(t);
        CHECK(input.at(0, t).travel <= 0.12 + 1e-15);
        CHECK_THAT(difference_slope([&](double at) { return input.at(0, at).travel; }, t, 1e-7),
                   WithinAbs(input.at(0, t).speed, 1e-6)); // cubics, whose curvature jumps at the points
        CHECK_THAT(input.at(0, t + 1e-9).speed, WithinAbs(input.at(0, t).speed, 1e-6));
    }
    CHECK(input.peak_speed() > 1.4);
}

TEST_CASE("a trace is cut where its times begin to follow closer", "[motion][input]") {
    const std::vector<double> times{0.0, 3.0, 3.001, 3.002, 3.003, 3.0036, 9.0, 9.1};
    const Input input = Input::trace(times, {0.1, 0.1, 0.11, 0.12, 0.12, 0.12, 0.12, 0.1});
    REQUIRE(input.pieces_in_loop() == 4); // [0, 3], [3, 3.0036], [3.0036, 9], [9, 9.1]
    CHECK(input.piece(0).end == 3.0);
    CHECK(input.piece(1).end == 3.0036);
    CHECK(input.piece(3).end == 9.1);
    CHECK_THAT(input.longest_step(1), WithinRel(0.0036 / 8.0, 1e-9));
    CHECK_THAT(input.longest_step(2), WithinRel(9.1 / 60.0, 1e-12));
    CHECK_THAT(input.longest_step(3), WithinRel(0.1 / 8.0, 1e-12));
    CHECK(Input::trace({0.0, 0.1, 0.2, 0.31}, {0.1, 0.2, 0.1, 0.2}).pieces_in_loop() == 1);
}

TEST_CASE("an input that cannot be run is refused", "[motion][input]") {
    CHECK_THROWS_AS(Input::sine(0.1, 0.0, 1.0), std::invalid_argument);
    CHECK_THROWS_AS(Input::ramp(0.1, 0.1, -1.0), std::invalid_argument);
    for (const double poor :
         {std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::infinity()}) {
        CHECK_THROWS_AS(Input::sine(poor, 0.1, 1.0), std::invalid_argument);
        CHECK_THROWS_AS(Input::triangle(0.1, poor, 1.0), std::invalid_argument);
        CHECK_THROWS_AS(Input::ramp(0.1, 0.1, poor), std::invalid_argument);
        CHECK_THROWS_AS(Input::trace({0.0, poor}, {0.1, 0.2}), std::invalid_argument);
        CHECK_THROWS_AS(Input::trace({0.0, 1.0}, {0.1, poor}), std::invalid_argument);
    }
    CHECK_THROWS_AS(Input::trace({0.0}, {0.1}), std::invalid_argument);
    for (const double moved : {0.0, 1e-12})
        CHECK_THROWS_WITH(Input::trace({0.0, 0.1, 0.2}, {0.1, 0.1 + moved, 0.1}), contains_text("must move"));
    CHECK_NOTHROW(Input::trace({0.0, 0.1, 0.2}, {0.1, 0.1 + 1e-6, 0.1}));
    CHECK_THROWS_AS(Input::trace({0.0, 0.0}, {0.1, 0.2}), std::invalid_argument);
}
