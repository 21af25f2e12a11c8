#include <support/catch.hpp>
#include <valve/stack/lift_law.hpp>

#include <cmath>
#include <random>
#include <stdexcept>
#include <vector>

using valve::stack::LiftCurve;
using valve::stack::LiftLaw;
using valve::stack::LiftPoint;

namespace {

constexpr double load_area = 2e-4; // [m²]

/// Closed to 1 bar, then lifting, with an abrupt stop.
LiftLaw stack_with_stop() {
    return {{0.0, 1e5, 1.2e5, 2e5, 5e5, 5.1e5, 20e5},
            {0.0, 0.0, 0.02e-3, 0.15e-3, 0.5e-3, 0.501e-3, 0.505e-3},
            load_area};
}

} // namespace

TEST_CASE("a lift law passes through its points and is level outside them", "[stack][lift_law]") {
    const LiftLaw law = stack_with_stop();
    CHECK(law.at(0.0).lift == 0.0);
    CHECK(law.at(1e5).lift == 0.0);
    CHECK_THAT(law.at(2e5).lift, WithinRel(0.15e-3, 1e-14)); // rounding
    CHECK_THAT(law.at(20e5).lift, WithinRel(0.505e-3, 1e-14));
    CHECK(law.at(-1.0).lift == 0.0);
    CHECK(law.at(30e5).lift == 0.505e-3);
    CHECK(law.at(30e5).slope == 0.0);
    CHECK(law.max_pressure() == 20e5);
    CHECK(law.load_area() == load_area);
}

TEST_CASE("a lift law is closed below its opening pressure and open above it", "[stack][lift_law]") {
    const LiftLaw law = stack_with_stop();
    CHECK(law.opening_pressure() == 1e5);
    CHECK(law.at(1e5 * (1.0 + 1e-6)).lift > 0.0);

    const LiftLaw ajar({0.0, 1e5}, {0.1e-3, 0.2e-3}, load_area);
    CHECK(ajar.opening_pressure() == 0.0);
    CHECK(ajar.at(0.0).lift == 0.1e-3);

    const LiftLaw stuck({0.0, 1e5, 2e5}, {0.0, 0.0, 0.0}, load_area);
    CHECK(stuck.opening_pressure() == 2e5);
}

TEST_CASE("a lift law without a stack is closed", "[stack][lift_law]") {
    const LiftLaw law;
    CHECK(law.at(1e5).lift == 0.0);
    CHECK(law.at(1e5).slope == 0.0);
    CHECK(law.max_pressure() == 0.0);
}

TEST_CASE("a lift law never falls, whatever its points", "[stack][lift_law]") {
    std::mt19937 random(20020611);
    std::uniform_real_distribution<double> decades(-4.0, 0.0);
    for (int trial = 0; trial < 200; ++trial) {
        std::vector<double> pressures{0.0};
        std::vector<double> lifts{0.0};
        for (int i = 0; i < 12; ++i) {
            pressures.push_back(pressures.back() + 1e5 * std::pow(10.0, decades(random)));
            lifts.push_back(lifts.back() + 1e-4 * std::pow(10.0, decades(random)));
        }
        const LiftLaw law(pressures, lifts, load_area);
        double before = 0.0;
        for (int i = 0; i <= 1000; ++i) {
            const LiftLaw::Value value = law.at(pressures.back() * i / 1000.0);
            REQUIRE(value.lift >= before - 1e-18);                // rounding of a lift of 1e-4 m
            REQUIRE(value.slope >= -1e-15 * lifts.back() / 10.0); // rounding; smallest interval 10 Pa
            before = value.lift;
        }
    }
}

TEST_CASE("the slope of a lift law is its derivative and joins at the points", "[stack][lift_law]") {
    const LiftLaw law = stack_with_stop();
    const double step = 1.0; // [Pa]
    for (const double pressure : {1.05e5, 1.1e5, 1.19e5, 1.5e5, 3e5, 4.9e5, 5.05e5, 10e5}) {
        CAPTURE(pressure);
        const double difference =
            (law.at(pressure + step).lift - law.at(pressure - step).lift) / (2.0 * step);
        // third derivative of the steepest cubic times step², on slopes of about 1e-9
        CHECK_THAT(law.at(pressure).slope, WithinRel(difference, 1e-5) || WithinAbs(difference, 1e-16));
    }
    for (const double point : {1e5, 1.2e5, 2e5, 5e5, 5.1e5}) {
        CAPTURE(point);
        CHECK_THAT(law.at(std::nextafter(point, 0.0)).slope, WithinAbs(law.at(point).slope, 1e-16));
    }
}

TEST_CASE("monotone interpolation reproduces straight lines", "[stack][lift_law]") {
    const LiftLaw law({0.0, 1e5, 4e5, 5e5}, {0.0, 1e-4, 4e-4, 5e-4}, load_area);
    for (const double pressure : {1e3, 0.7e5, 2.2e5, 4.4e5}) {
        CHECK_THAT(law.at(pressure).lift, WithinRel(1e-9 * pressure, 1e-13)); // rounding
        CHECK_THAT(law.at(pressure).slope, WithinRel(1e-9, 1e-13));
    }
}

TEST_CASE("a lift law of a computed curve has its rates, with a jump at an event", "[stack][lift_law]") {
    // A float: closed to 1 bar, straight up to its stop at 2 bar.
    const double rate = 1e-3 / 1e5;
    LiftCurve curve;
    curve.load_area = load_area;
    curve.crack_pressure = 1e5;
    curve.points.resize(4);
    curve.points[1].pressure = 1e5;
    curve.points[1].rate_after = rate;
    curve.points[2].pressure = 2e5;
    curve.points[2].rate_before = rate;
    curve.points[3].pressure = 9e5;
    curve.points[2].seat_lift = curve.points[3].seat_lift = 1e-3;
    const LiftLaw law(curve);
    for (const double share : {0.01, 0.3, 0.99}) {
        CHECK_THAT(law.at(1e5 + 1e5 * share).lift, WithinRel(1e-3 * share, 1e-12));
        CHECK_THAT(law.at(1e5 + 1e5 * share).slope, WithinRel(rate, 1e-12));
    }
    CHECK(law.at(0.99e5).lift == 0.0);
    CHECK(law.at(2.01e5).slope == 0.0);

    // A rate that would make it fall between the points is cut back.
    curve.points[1].rate_after = 100.0 * rate;
    const LiftLaw steep(curve);
    double last = 0.0;
    for (int i = 1; i <= 100; ++i) {
        const double lift = steep.at(1e5 + 1e3 * i).lift;
        CHECK(lift >= last);
        last = lift;
    }
}

TEST_CASE("a lift law of a computed curve is closed up to the crack and level over the solver's error",
          "[stack][lift_law]") {
    LiftCurve curve;
    curve.load_area = load_area;
    curve.crack_pressure = 1e5;
    const auto add = [&](double pressure, double lift) {
        LiftPoint point;
        point.pressure = pressure;
        point.seat_lift = lift;
        curve.points.push_back(point);
    };
    add(0.0, -2e-16);
    add(0.5e5, 3e-12);
    add(1e5, 3e-12);
    add(2e5, 1e-4);
    add(3e5, 1e-4 - 1e-11);
    const LiftLaw law(curve);
    CHECK(law.opening_pressure() == 1e5);
    CHECK(law.at(0.7e5).lift == 0.0);
    CHECK(law.at(3e5).lift == 1e-4);

    add(4e5, 0.5e-4);
    CHECK_THROWS_AS(LiftLaw(curve), valve::SolveError);
}

TEST_CASE("points that make no lift law are refused", "[stack][lift_law]") {
    CHECK_THROWS_AS(LiftLaw({0.0}, {0.0}, load_area), std::invalid_argument);
    CHECK_THROWS_AS(LiftLaw({0.0, 1.0}, {0.0}, load_area), std::invalid_argument);
    CHECK_THROWS_AS(LiftLaw({0.0, 0.0}, {0.0, 1.0}, load_area), std::invalid_argument);
    CHECK_THROWS_AS(LiftLaw({0.0, 1.0}, {1.0, 0.5}, load_area), std::invalid_argument);
    CHECK_THROWS_AS(LiftLaw({0.0, 1.0}, {0.0, 1.0}, 0.0), std::invalid_argument);
    CHECK_THROWS_AS(LiftLaw({1.0, 2.0}, {0.1, 0.2}, load_area), std::invalid_argument);
    CHECK_THROWS_AS(LiftLaw({0.0, std::nan("")}, {0.0, 0.1}, load_area), std::invalid_argument);
}
