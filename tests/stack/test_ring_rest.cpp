#include <stack/random_walk.hpp>
#include <stack/ring_walk.hpp>
#include <stack/verify_ring.hpp>
#include <support/catch.hpp>
#include <valve/stack/detail/path.hpp>
#include <valve/stack/detail/ring_path.hpp>
#include <valve/stack/solution.hpp>

#include <optional>
#include <random>

using namespace valve::stack;

namespace {

/// One of those that valve_random_rings draws.
Stack drawn(unsigned seed, int number) {
    std::mt19937 random(seed);
    Stack stack = testing::random_ring(random, 6);
    for (int i = 0; i < number; ++i)
        stack = testing::random_ring(random, 6);
    return stack;
}

/// Holds the states at pressures against the verifier, and their energies against the round shape's: low
/// waves release some 1e-4 of it.
void check_states(const Stack& stack, const std::optional<Waves>& waves) {
    RingPath path(stack, waves);
    Path round(stack, Theory::large_deflection, RingDivision{}.along);
    for (const double pressure : {0.0, 0.01e5}) {
        CAPTURE(pressure, path.refusal());
        const std::optional<State> state = path.state_at(pressure);
        REQUIRE(state);
        testing::Walk walk;
        walk.take_worse(testing::verify(path.problem(), *state));
        INFO(walk.words());
        CHECK(walk.holds());
        const State* same = round.at(pressure);
        REQUIRE(same != nullptr);
        CHECK(path.problem().energy(state->x, pressure) <
              0.99999 * path.problem().energy(path.problem().from_round(same->x), pressure));
    }
}

} // namespace

TEST_CASE("a stack that its preload alone buckles stands in waves at rest", "[stack][uneven]") {
    const Stack stack = drawn(9006, 20); // six shims, two wide ones above a small one on a high land
    const Solution solution(stack, {Theory::large_deflection, 5e5});
    const std::optional<Waves> waves = solution.waves_up_to(5e5);
    REQUIRE(waves);
    CHECK(waves->pressure == 0.0);
    CHECK(waves->count == 3);
    check_states(stack, waves);
}

TEST_CASE("a stack over windows that its preload alone buckles stands in waves at rest", "[stack][uneven]") {
    check_states(drawn(9005, 10), std::nullopt); // six shims over two windows, the second the thinnest
}
