#include <stack/random_walk.hpp>
#include <stack/ring_walk.hpp>
#include <stack/verify_ring.hpp>
#include <support/catch.hpp>
#include <valve/stack/detail/path.hpp>
#include <valve/stack/detail/ring_path.hpp>
#include <valve/stack/solution.hpp>

#include <optional>
#include <utility>
#include <vector>

using namespace valve::stack;

namespace {

/// Clamped, on a high land. Lengths in mm.
Stack preloaded(const std::vector<std::pair<double, double>>& shims, double clamp, Zone zone, Seat seat) {
    Stack stack;
    for (const auto& [diameter, thickness] : shims)
        stack.shims.push_back({0.5e-3 * diameter, 1e-3 * thickness, {}});
    stack.clamp_radius = stack.bore_radius = 0.5e-3 * clamp;
    stack.zone = {1e-3 * zone.inner_radius, 1e-3 * zone.outer_radius};
    stack.seat = {1e-3 * seat.inner_radius, 1e-3 * seat.outer_radius, 1e-3 * seat.height};
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
    Stack stack =
        preloaded({{19.7, 0.35}, {38.3, 0.2}, {16.4, 0.15}, {42.4, 0.2}, {16.0, 0.05}, {34.9, 0.35}}, 15.5,
                  {8.414, 9.078}, {9.078, 9.41, 0.13});
    stack.coverage = 0.65;
    const Solution solution(stack, {Theory::large_deflection, 5e5});
    const std::optional<Waves> waves = solution.waves_up_to(5e5);
    REQUIRE(waves);
    CHECK(waves->pressure == 0.0);
    CHECK(waves->count == 3);
    check_states(stack, waves);
}

TEST_CASE("a stack over windows that its preload alone buckles stands in waves at rest", "[stack][uneven]") {
    Stack stack = preloaded({{26.5, 0.15}, {38.7, 0.05}, {40.6, 0.25}, {33.4, 0.3}, {35.7, 0.2}, {22.7, 0.2}},
                            18.5, {9.63, 13.05}, {13.05, 13.05, 0.1});
    stack.windows = 2;
    stack.coverage = 0.7;
    check_states(stack, std::nullopt);
}
