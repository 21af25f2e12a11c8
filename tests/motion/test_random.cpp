#include <motion/random_cycle.hpp>
#include <support/catch.hpp>

#include <cstdio>

TEST_CASE("cycles of random dampers end, and lose no oil", "[motion][cycle]") {
    const valve::tests::RandomCycles result = valve::tests::run_random_cycles(24, 1);
    CAPTURE(result.refusals, result.faults);
    CHECK(result.faults.empty());
    CHECK(result.finished >= 12);
    CHECK(result.refused == 0);
    std::printf("counted: %d cycles of random dampers in time\n", result.finished);
}
