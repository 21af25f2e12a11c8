#include <flow/derivative.hpp>
#include <motion/bent.hpp>
#include <motion/discs.hpp>
#include <support/catch.hpp>
#include <valve/core/error.hpp>
#include <valve/damper/lift_cache.hpp>
#include <valve/motion/profile.hpp>
#include <valve/motion/valve_profiles.hpp>
#include <valve/stack/solution.hpp>

#include <algorithm>
#include <array>
#include <atomic>
#include <chrono>
#include <cmath>
#include <memory>
#include <new>
#include <numbers>
#include <stdexcept>
#include <thread>
#include <utility>
#include <vector>

using namespace valve;
using motion::Profile;

namespace {

const std::vector<motion::ProfilePoint> points{
    {0.0, 1e4, {2e-4, 1e-3}, {2e-4, 1e-3}},
    {1e-4, 3e4, {1.8e-4, 1.2e-3, {}, 2e3}, {1.9e-4, 1.5e-3, {}, 3e3}},
    {2e-4, 7e4, {1.7e-4, 0.8e-3, {}, 4e3}, {1.7e-4, 0.8e-3, {}, 4e3}},
    {5e-4, 9e4, {1.7e-4, 0.9e-3}, {1.7e-4, 0.9e-3}}};

/// Points with slopes, one interval a part.
class Parts final : public motion::ProfileSource {
public:
    Parts(std::vector<motion::ProfilePoint> all, int& asked) : m_all(std::move(all)), m_asked(asked) {}

    std::vector<motion::ProfilePoint> next() override {
        const bool alone = !m_busy.exchange(true);
        std::this_thread::sleep_for(std::chrono::milliseconds(2));
        if (!alone) throw std::logic_error("asked by two threads at a time");
        m_busy = false;
        ++m_asked;
        if (m_next == m_all.size()) return {};
        std::vector<motion::ProfilePoint> part{m_all[m_next - 1], m_all[m_next]};
        ++m_next;
        return part;
    }

private:
    std::vector<motion::ProfilePoint> m_all;
    int& m_asked;
    std::size_t m_next = 1;
    std::atomic<bool> m_busy = false;
};

std::vector<motion::ProfilePoint> with_slopes() {
    std::vector<motion::ProfilePoint> all = points;
    for (motion::ProfilePoint& point : all)
        point.below.pressure_slope = point.above.pressure_slope = 3e8;
    return all;
}

} // namespace

TEST_CASE("a profile has its points, and slopes that are its own", "[motion][profile]") {
    const Profile profile(points);
    for (const motion::ProfilePoint& point : points) {
        CHECK_THAT(profile.at(point.lift).pressure, WithinRel(point.pressure, 1e-14));
        CHECK_THAT(profile.at(point.lift).area, WithinRel(point.above.area, 1e-14));
        CHECK_THAT(profile.at(point.lift).mass, WithinRel(point.above.mass, 1e-14));
        CHECK_THAT(profile.at(point.lift).friction, WithinRel(point.above.friction, 1e-14));
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
        CHECK_THAT(value.friction_slope, WithinAbs(slope(&Profile::Value::friction), 1.0));
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

TEST_CASE("a profile in parts is that of all its points, solved no further than it is asked",
          "[motion][profile]") {
    const Profile whole(with_slopes());
    int asked = 0;
    const Profile grows(std::make_unique<Parts>(with_slopes(), asked));
    CHECK(asked == 1);
    CHECK(grows.crack_pressure() == whole.crack_pressure());
    CHECK(grows.at(0.5e-4).pressure == whole.at(0.5e-4).pressure);
    CHECK(asked == 1);
    const Profile copy = grows;
    for (const double lift : {1e-4, 1.9e-4, 4e-4, 5e-4, 6e-4, 0.2e-4}) {
        CAPTURE(lift);
        CHECK(copy.at(lift).pressure == whole.at(lift).pressure);
        CHECK(copy.at(lift).mass == whole.at(lift).mass);
        CHECK(grows.at(lift).beyond == whole.at(lift).beyond);
        CHECK(grows.energy(lift) == whole.energy(lift));
        CHECK(grows.end() > std::min(lift, 4.9e-4));
    }
    CHECK(asked == 4); // three parts, and none more, once

    // What is no profile ends it; the first part must be one.
    std::vector<motion::ProfilePoint> wrong = with_slopes();
    wrong[2].pressure = 1.0;
    const Profile ends(std::make_unique<Parts>(wrong, asked));
    CHECK(ends.at(1.5e-4).beyond);
    CHECK(ends.end() == 1e-4);
    wrong[1].lift = 0.0;
    CHECK_THROWS_AS(Profile(std::make_unique<Parts>(wrong, asked)), std::invalid_argument);
    CHECK_THROWS_AS(Profile(std::make_unique<Parts>(std::vector{points[0]}, asked)), std::invalid_argument);
}

TEST_CASE("a profile ends where no state is found, and not where memory does", "[motion][profile]") {
    /// One part, and then what `fault` throws.
    class Ending final : public motion::ProfileSource {
    public:
        explicit Ending(void (*fault)()) : m_fault(fault) {}
        std::vector<motion::ProfilePoint> next() override {
            if (std::exchange(m_begun, true)) m_fault();
            const std::vector<motion::ProfilePoint> all = with_slopes();
            return {all[0], all[1]};
        }

    private:
        void (*m_fault)();
        bool m_begun = false;
    };
    const Profile ends(std::make_unique<Ending>([] { throw SolveError("no state"); }));
    CHECK(ends.at(2e-4).beyond);
    const Profile fails(std::make_unique<Ending>([] { throw std::bad_alloc(); }));
    CHECK_THROWS_AS(fails.at(2e-4), std::bad_alloc);
}

TEST_CASE("threads that ask a profile at the same time get the same", "[motion][profile]") {
    const Profile whole(with_slopes());
    for (int round = 0; round < 5; ++round) {
        int asked = 0;
        const Profile grows(std::make_unique<Parts>(with_slopes(), asked));
        std::array<double, 4> found{};
        std::vector<std::thread> threads;
        for (double& pressure : found)
            threads.emplace_back([&] {
                for (const double lift : {0.9e-4, 1.1e-4, 2.5e-4, 4.9e-4})
                    pressure += grows.at(lift).pressure;
            });
        for (std::thread& thread : threads)
            thread.join();
        double expected = 0.0;
        for (const double lift : {0.9e-4, 1.1e-4, 2.5e-4, 4.9e-4})
            expected += whole.at(lift).pressure;
        for (const double pressure : found)
            CHECK(pressure == expected);
        CHECK(asked == 3);
    }
}

TEST_CASE("a stack that bends moves as the round one until it buckles, then along its law",
          "[motion][profile][uneven]") {
    damper::LiftCache cache;
    const flow::Valve valve = *samples::thin_fork().valves[damper::Place::base_compression];
    const flow::ValveLaw::Bent law = cache.bent(valve);
    const stack::Solution& solution = law->solution();
    const Profile round = motion::profile_of(valve.stack, solution.motion(), 850.0);
    const Profile bent = motion::bent_profile_of(law, 850.0);
    const double buckles = solution.waves_up_to(20e5).value().pressure;
    const double there = solution.law().at(buckles).lift;

    // Points of the round curve up to where it buckles; the last interval ends in between.
    double before = 0.0;
    for (const stack::MotionPoint& point : solution.motion().points) {
        if (point.pressure >= buckles) break;
        for (const double share : {0.3, 0.8}) {
            const double lift = before + share * (point.lift - before);
            CHECK(bent.at(lift).pressure == round.at(lift).pressure);
            CHECK(bent.at(lift).area == round.at(lift).area);
            CHECK(bent.at(lift).mass == round.at(lift).mass);
            CHECK(bent.energy(lift) == round.energy(lift));
        }
        before = point.lift;
    }
    CHECK(bent.end() < there * 1.001); // no interval of waves was solved
    for (double pressure = 1.02 * buckles; pressure < 4.0 * buckles; pressure *= 1.13) {
        CAPTURE(pressure / buckles);
        const double lift = law->at(pressure).lift.lift;
        CHECK(lift > solution.law().at(pressure).lift);
        const Profile::Value value = bent.at(lift);
        CHECK_THAT(law->at(value.pressure).lift.lift, WithinRel(lift, 3e-5));
        CHECK_FALSE(value.beyond);
        CHECK((value.mass > 0.0 && value.area > 0.0));
    }
    const Profile other = motion::bent_profile_of(law, 850.0); // asked from above
    const double high = law->at(3.0 * buckles).lift.lift;
    CHECK(other.at(high).pressure == bent.at(high).pressure);
    CHECK(other.at(0.5 * there).pressure == bent.at(0.5 * there).pressure);
}

TEST_CASE("a stack over windows moves from where it opens at the ports", "[motion][profile][uneven]") {
    damper::LiftCache cache;
    flow::Valve valve = *samples::fork().valves[damper::Place::base_compression];
    valve.stack.windows = 4;
    valve.stack.coverage = 0.5;
    valve.curtain_length = 35e-3;
    valve.stack.seat.height = 0.05e-3;
    const flow::ValveLaw::Bent law = cache.bent(valve);
    const Profile profile = motion::bent_profile_of(law, 850.0);
    CHECK(profile.crack_pressure() == law->from(10e5).value());
    for (const double times : {1.05, 1.5, 2.5, 6.0}) {
        const double lift = law->at(times * profile.crack_pressure()).lift.lift;
        CHECK_THAT(law->at(profile.at(lift).pressure).lift.lift, WithinAbs(lift, 3e-5 * lift + 3e-9));
    }
}

TEST_CASE("where a stack buckles, friction takes the same part of the pressure on both sides",
          "[motion][profile][uneven]") {
    damper::LiftCache cache;
    flow::Valve valve = *samples::thin_fork().valves[damper::Place::base_compression];
    valve.stack.shims.assign(3, valve.stack.shims.front());
    const flow::ValveLaw::Bent law = cache.bent(valve);
    const double buckles = law->from(50e5).value();
    const Profile profile = motion::bent_profile_of(law, 850.0);
    const auto share = [&](double pressure) {
        const Profile::Value value = profile.at(law->at(pressure).lift.lift);
        return value.friction / value.pressure;
    };
    const double round = law->solution().friction(buckles, 1.0).share;
    CHECK(round > 0.0);
    CHECK_THAT(share(1.02 * buckles), WithinRel(round, 0.05));
    CHECK_THAT(share(3.0 * buckles), WithinRel(law->solution().friction(3.0 * buckles, 1.0).share, 0.05));
}

TEST_CASE("a profile that turns back or weighs nothing is refused", "[motion][profile]") {
    std::vector<motion::ProfilePoint> wrong = points;
    wrong[2].lift = 0.5e-4;
    CHECK_THROWS_AS(Profile(wrong), std::invalid_argument);
    wrong = points;
    wrong[1].above.mass = 0.0;
    CHECK_THROWS_AS(Profile(wrong), std::invalid_argument);
    wrong = points;
    wrong[1].above.friction = -1.0;
    CHECK_THROWS_AS(Profile(wrong), std::invalid_argument);
    wrong = points;
    wrong[3].pressure = 1.0;
    CHECK_THROWS_AS(Profile(wrong), std::invalid_argument);
    CHECK_THROWS_AS(Profile({points[0]}), std::invalid_argument);
}
