#include <flow/derivative.hpp>
#include <motion/discs.hpp>
#include <support/catch.hpp>
#include <valve/motion/profile.hpp>
#include <valve/motion/valve_profiles.hpp>
#include <valve/stack/solution.hpp>

#include <cmath>
#include <numbers>
#include <stdexcept>
#include <vector>

using namespace valve;
using motion::Profile;

namespace {

const std::vector<motion::ProfilePoint> points{{0.0, 1e4, {2e-4, 1e-3}, {2e-4, 1e-3}},
                                               {1e-4, 3e4, {1.8e-4, 1.2e-3}, {1.9e-4, 1.5e-3}},
                                               {2e-4, 7e4, {1.7e-4, 0.8e-3}, {1.7e-4, 0.8e-3}},
                                               {5e-4, 9e4, {1.7e-4, 0.9e-3}, {1.7e-4, 0.9e-3}}};

} // namespace

TEST_CASE("a profile has its points, and slopes that are its own", "[motion][profile]") {
    const Profile profile(points);
    for (const motion::ProfilePoint& point : points) {
        CHECK_THAT(profile.at(point.lift).pressure, WithinRel(point.pressure, 1e-14));
        CHECK_THAT(profile.at(point.lift).area, WithinRel(point.above.area, 1e-14));
        CHECK_THAT(profile.at(point.lift).mass, WithinRel(point.above.mass, 1e-14));
    }
    CHECK_THAT(profile.at(std::nextafter(1e-4, 0.0)).mass, WithinRel(1.2e-3, 1e-9)); // the other side
    for (int i = 0; i < 25; ++i) {
        const double lift = 0.07e-4 + 0.28e-4 * i; // never at a point
        CAPTURE(lift);
        const auto slope = [&](double Profile::Value::*member) {
            return difference_slope([&](double at) { return profile.at(at).*member; }, lift, 1e-8);
        };
        const Profile::Value value = profile.at(lift);
        CHECK_THAT(value.pressure_slope, WithinRel(slope(&Profile::Value::pressure), 1e-6));
        CHECK_THAT(value.area_slope, WithinAbs(slope(&Profile::Value::area), 1e-8));
        CHECK_THAT(value.mass_slope, WithinAbs(slope(&Profile::Value::mass), 1e-6));
        // The slope of the energy is the force that holds the stack there.
        CHECK_THAT(difference_slope([&](double at) { return profile.energy(at); }, lift, 1e-7),
                   WithinRel(value.area * value.pressure, 1e-6));
        CHECK(value.beyond == (lift > 5e-4));
    }
}

TEST_CASE("below the seat a profile is that of the seat", "[motion][profile]") {
    const Profile profile(points);
    CHECK(profile.at(-1e-5).pressure == 1e4);
    CHECK(profile.energy(-1e-5) == 0.0);
    CHECK(profile.crack_pressure() == 1e4);
}

TEST_CASE("a disc is held by its coil until its stop, with its own mass", "[motion][profile]") {
    damper::SetUp setup = samples::with_discs(samples::fork());
    const stack::Stack& disc = setup.valves[damper::Place::base_refill]->stack;
    const stack::Solution solution(disc);
    const Profile profile = motion::profile_of(disc, solution.motion(), 850.0);
    const Profile exact = samples::disc_profile(disc, solution.curve().load_area);
    for (const double lift : {0.0, 0.3e-3, 1.4e-3}) {
        CHECK_THAT(profile.at(lift).pressure, WithinRel(exact.at(lift).pressure, 1e-12));
        CHECK_THAT(profile.at(lift).area, WithinRel(exact.at(lift).area, 1e-12));
        CHECK(profile.at(lift).mass == 0.8e-3);
    }
    CHECK(profile.stop() == 1.5e-3);
}

TEST_CASE("a stack has the mass of its metal and of its oil", "[motion][profile]") {
    stack::Stack stack = samples::valve().stack;
    const stack::Solution solution(stack);
    const stack::Motion& motion = solution.motion();
    const Profile dry = motion::profile_of(stack, motion, 0.0);
    const Profile wet = motion::profile_of(stack, motion, 850.0);
    const stack::MotionPoint& point = motion.points.at(motion.points.size() / 2);
    CHECK_THAT(wet.at(point.lift).mass - dry.at(point.lift).mass,
               WithinRel(850.0 * point.above.oil_volume, 1e-9));
    // One degree of freedom between seat and static curve: √(A p'/m)/2π, near the first mode in oil.
    const Profile::Value at_crack = wet.at(1e-6);
    const double frequency =
        std::sqrt(at_crack.area * at_crack.pressure_slope / at_crack.mass) / (2.0 * std::numbers::pi);
    const stack::Modes modes = solution.modes({.oil_density = 850.0});
    CHECK_THAT(frequency, WithinRel(modes.modes.front().frequency_oil.value(), 0.1)); // its shape is another
}

TEST_CASE("a profile that turns back or weighs nothing is refused", "[motion][profile]") {
    std::vector<motion::ProfilePoint> wrong = points;
    wrong[2].lift = 0.5e-4;
    CHECK_THROWS_AS(Profile(wrong), std::invalid_argument);
    wrong = points;
    wrong[1].above.mass = 0.0;
    CHECK_THROWS_AS(Profile(wrong), std::invalid_argument);
    wrong = points;
    wrong[3].pressure = 1.0;
    CHECK_THROWS_AS(Profile(wrong), std::invalid_argument);
    CHECK_THROWS_AS(Profile({points[0]}), std::invalid_argument);
}
