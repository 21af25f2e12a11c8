#include <stack/random_stack.hpp>
#include <stack/random_walk.hpp>
#include <support/catch.hpp>
#include <valve/core/findings.hpp>

using namespace valve;
using namespace valve::stack;

namespace {

void walk_random_stacks(Theory theory, int count, double top_pressure) {
    std::mt19937 random(20260102); // valve_random_stacks takes another
    for (int i = 0; i < count; ++i) {
        const Stack stack = testing::random_stack(random, 30);
        CAPTURE(i, stack.shims.size());
        REQUIRE(first_error(check(stack)) == nullptr);
        const testing::Walk walk = testing::walk(stack, theory, top_pressure);
        INFO(walk.words());
        CHECK(walk.holds());
    }
}

} // namespace

TEST_CASE("random legal stacks find their equilibrium, linear plates", "[stack]") {
    walk_random_stacks(Theory::linear, 30, 50e5);
}

TEST_CASE("random legal stacks find their equilibrium or the end of the theory, large deflection",
          "[stack]") {
    walk_random_stacks(Theory::large_deflection, 4, 100e5);
}
