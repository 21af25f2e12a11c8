#include <motion/random_cycle.hpp>
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
