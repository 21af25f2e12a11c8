#include <motion/random_cycle.hpp>
#include <motion/random_ride.hpp>
#include <support/catch.hpp>

#include <cstdio>

TEST_CASE("cycles of random dampers end, and lose no oil", "[motion][cycle]") {
    constexpr int dampers = VALVE_SANITIZED ? 6 : 24;
    const valve::tests::RandomCycles result = valve::tests::run_random_cycles(dampers, 1);
    CAPTURE(result.refusals, result.faults);
    CHECK(result.faults.empty());
    CHECK(result.finished >= dampers / 2);
    CHECK(result.refused == 0);
    std::printf("counted: %d cycles of random dampers in time\n", result.finished);
}

TEST_CASE("rides on random set-ups end, and lose no oil", "[motion][ride]") {
    constexpr int setups = VALVE_SANITIZED ? 6 : 24;
    const valve::tests::RandomRides result = valve::tests::run_random_rides(setups, 1);
    CAPTURE(result.refusals, result.faults);
    CHECK(result.faults.empty());
    CHECK(result.finished >= setups / 2);
    CHECK(result.refused == 0);
    std::printf("counted: %d rides on random set-ups\n", result.finished);
}

TEST_CASE("a reservoir that stiffens at once at its end has one pressure", "[motion][ride]") {
    // Without a safeguard Newton's steps go to and fro about that end for ever, and tell two flows in turn.
    const valve::tests::RandomRides result = valve::tests::run_random_rides(1, 16);
    CAPTURE(result.refusals, result.faults);
    CHECK(result.finished == 1);
    CHECK(result.steps < 20000);
}

TEST_CASE("a step that fails about a kink of a law does not end the ride", "[motion][ride]") {
    // Ever shorter steps from there on fail as well, since each begins with what steps before the kink told.
    const valve::tests::RandomRides result = valve::tests::run_random_rides_over_each(1, 36);
    CAPTURE(result.refusals, result.faults);
    CHECK(result.finished == 3);
    CHECK(result.refused == 0);
}
