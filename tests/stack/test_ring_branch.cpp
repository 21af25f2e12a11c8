#include <stack/ring_walk.hpp>
#include <support/catch.hpp>
#include <valve/stack/detail/path.hpp>
#include <valve/stack/detail/ring_path.hpp>
#include <valve/stack/solution.hpp>

#include <optional>
#include <utility>
#include <vector>

using namespace valve::stack;

namespace {

/// Clamped shims whose waves, once large, part a thin one from its neighbour. Lengths in mm.
struct Parting {
    std::vector<std::pair<double, double>> shims; ///< diameter and thickness
    double clamp;                                 ///< diameter
    Zone zone;
    Seat seat;
};

Stack stack_of(const Parting& of) {
    Stack stack;
    for (const auto& [diameter, thickness] : of.shims)
        stack.shims.push_back({0.5e-3 * diameter, 1e-3 * thickness, {}});
    stack.clamp_radius = stack.bore_radius = 0.5e-3 * of.clamp;
    stack.zone = {1e-3 * of.zone.inner_radius, 1e-3 * of.zone.outer_radius};
    stack.seat = {1e-3 * of.seat.inner_radius, 1e-3 * of.seat.outer_radius, 1e-3 * of.seat.height};
    return stack;
}

} // namespace

TEST_CASE("waves grow out of the round shape where larger ones are there at the same pressure",
          "[stack][uneven]") {
    const std::vector<Parting> partings{
        // On the way to its waves no tangent is convex: without any compression forty steps do not settle.
        {{{27.5, 0.1}, {27.0, 0.15}, {27.0, 0.05}}, 11.0, {6.01, 10.6}, {10.6, 11.1, 0.06}},
        {{{38.6, 0.15}, {36.1, 0.05}, {22.3, 0.15}}, 15.0, {7.5, 17.83}, {17.83, 18.33, 0.0}},
        {{{31.1, 0.15}, {28.7, 0.05}}, 16.5, {8.678, 12.53}, {12.53, 13.03, 0.04}}};
    for (const Parting& of : partings) {
        const Stack stack = stack_of(of);
        CAPTURE(of.shims.front().first);
        const std::optional<Waves> waves =
            Solution(stack, {Theory::large_deflection, 20e5}).waves_up_to(20e5);
        REQUIRE(waves);
        const testing::RingWalk walk = testing::walk_ring(stack);
        INFO(walk.words());
        CHECK(walk.states == 3);
        CHECK(walk.holds());
        CHECK_FALSE(walk.jumps);

        RingPath path(stack, waves);
        CHECK(path.growth().pressure >= 0.99 * waves->pressure);
        CHECK(path.growth().pressure < 1.05 * waves->pressure);
        const double little = 1.005 * path.growth().pressure;
        const std::optional<UnevenLift> lift = path.at(little);
        REQUIRE(lift);
        // Waves of half a per cent more than their pressure; those beyond the jump are twice as high.
        CHECK(lift->crest - lift->trough < 0.2 * lift->state.seat_lift);
        CHECK(lift->crest - lift->trough > 0.05 * lift->state.seat_lift);
    }
}
