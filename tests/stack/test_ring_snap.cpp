#include <stack/ring_walk.hpp>
#include <stack/verify_ring.hpp>
#include <support/catch.hpp>
#include <valve/stack/detail/ring_path.hpp>
#include <valve/stack/solution.hpp>

#include <cmath>
#include <optional>
#include <string>

using namespace valve::stack;

namespace {

/// A stack of one free shim under a float's ring. Lengths in mm, diameters but for the zone and the land.
struct Floated {
    double outer;
    double thickness;
    double ring;
    Zone zone;
    Seat seat;
    double coverage;
    int windows;
    double travel;
    double spring_rate; ///< [N/mm]
    double preload;     ///< [N]
    RestsOn rests_on = RestsOn::seat;
};

Stack stack_of(const Floated& of) {
    Stack stack;
    stack.shims.push_back({0.5e-3 * of.outer, 1e-3 * of.thickness, {}});
    const double ring = 0.5e-3 * of.ring;
    stack.clamp_radius = stack.bore_radius = ring;
    stack.zone = {1e-3 * of.zone.inner_radius, 1e-3 * of.zone.outer_radius};
    stack.seat = {1e-3 * of.seat.inner_radius, 1e-3 * of.seat.outer_radius, 1e-3 * of.seat.height};
    stack.coverage = of.coverage;
    stack.windows = of.windows;
    stack.edge = InnerEdge::free;
    stack.floating = Float{.travel = 1e-3 * of.travel,
                           .spring_rate = 1e3 * of.spring_rate,
                           .preload = of.preload,
                           .ring_radius = ring,
                           .spring_radius = ring,
                           .stop_radius = ring,
                           .rests_on = of.rests_on};
    return stack;
}

/// A shim that its spring has dished on the land, and that pressure turns over: between two pressures it
/// snaps from all but shut to wide open.
struct Snapping {
    Floated stack;
    double before; ///< [Pa]
    double after;  ///< [Pa]
    double shut;   ///< the most that its mean lifts before [m]
    double open;   ///< the least that it lifts after [m]
};

void check_snap(const Snapping& snap) {
    const Stack stack = stack_of(snap.stack);
    CAPTURE(snap.stack.outer);
    std::optional<Waves> waves;
    if (stack.windows < 1) waves = Solution(stack, {.max_pressure = 1e5}).waves_up_to(1e5);
    RingPath path(stack, waves);
    const double slowest = (snap.open - snap.shut) / (snap.after - snap.before);
    for (const bool opened : {false, true}) {
        const double pressure = opened ? snap.after : snap.before;
        const std::optional<State> state = path.state_at(pressure);
        INFO(path.refusal());
        REQUIRE(state);
        testing::Walk walk;
        walk.take_worse(testing::verify(path.problem(), *state));
        INFO(walk.words());
        CHECK(walk.holds());
        const RingMeans means = path.means_at(pressure).value();
        if (opened)
            CHECK(means.ring.lift > snap.open);
        else
            CHECK(means.ring.lift < snap.shut);
        // Neither state moves as fast as from the one to the other: this is no steep part of one branch.
        CHECK(means.ring.slope < 0.1 * slowest);
    }
}

} // namespace

TEST_CASE("where its branch folds back a floated shim snaps open", "[stack][uneven]") {
    check_snap({{23.9, 0.05, 16.5, {8.916, 10.47}, {10.47, 10.97, 0.06}, 0.9, 3, 1.35, 15.6, 20.5},
                144.5e3,
                145.0e3,
                1e-9,
                0.6e-3});
    // In waves at rest, for its spring alone has buckled it.
    check_snap({{24.4, 0.05, 10.5, {7.16, 9.07}, {9.07, 9.57, 0.0}, 0.75, 0, 1.15, 30.4, 17.0},
                53.5e3,
                54.0e3,
                3e-6,
                0.3e-3});
}

TEST_CASE("wide floated shims over windows snap open", "[stack][uneven][long]") {
    check_snap({{40.7, 0.05, 19.0, {9.5, 19.11}, {19.11, 19.61, 0.08}, 0.5, 3, 0.95, 36.6, 21.0},
                6.00e3,
                6.05e3,
                1e-9,
                2.0e-3});
    check_snap({{28.8, 0.05, 17.0, {9.776, 11.69}, {11.69, 12.19, 0.05}, 0.45, 3, 1.1, 5.0, 5.0},
                29.3e3,
                29.4e3,
                1e-9,
                0.4e-3});
}

TEST_CASE("a stack that snaps to a shape that is no minimum goes on to one", "[stack][uneven]") {
    // Windows that are the whole ring press evenly: nothing but its instability takes it out of round.
    const Stack stack = stack_of(
        {23.7, 0.05, 11.5, {7.927, 10.47}, {10.47, 10.97, 0.11}, 1.0, 3, 1.35, 10.0, 24.0, RestsOn::seat});
    RingPath path(stack, std::nullopt);
    const double pressure = 111.13e3; // [Pa]
    const std::optional<State> state = path.state_at(pressure);
    INFO(path.refusal());
    REQUIRE(state);
    testing::Walk walk;
    walk.take_worse(testing::verify(path.problem(), *state));
    INFO(walk.words());
    CHECK(walk.holds());
    State again = *state;
    again.solved = false;
    Minimiser minimiser(path.problem());
    const Outcome outcome = minimiser.solve(pressure, again);
    REQUIRE(outcome.converged);
    CHECK(outcome.is_minimum);
    CHECK(path.problem().largest_deflection(again.x - state->x) < 1e-9);
}

TEST_CASE("a state is at its end where waves die, not where energy hardly changes", "[stack][uneven]") {
    // In waves at rest; at 8 bar steps from near the round shape, which is no minimum, gain 1e-11 of the
    // energy.
    Stack stack =
        stack_of({18.6, 0.2, 9.5, {5.539, 7.38}, {7.38, 7.88, 0.0}, 0.6, 0, 0.1, 44.2, 23.5, RestsOn::seat});
    stack.shims.push_back({17.2e-3, 0.05e-3, {}});
    stack.shims.push_back({7.7e-3, 0.25e-3, {}});
    const testing::RingWalk walk = testing::walk_ring(stack);
    INFO(walk.words());
    CHECK(walk.states == 5);
    CHECK(walk.holds());
    RingPath path(stack, Solution(stack, {.max_pressure = 60e5}).waves_up_to(60e5));
    const UnevenLift lift = path.at(8e5).value();
    CHECK(lift.crest - lift.trough > 1e-6);
}

TEST_CASE("waves are found where the branch to them snaps", "[stack][uneven][long]") {
    for (const Floated& of :
         {Floated{36.3, 0.05, 10.0, {6.034, 15.34}, {15.34, 15.84, 0.13}, 0.5, 0, 1.05, 35.6, 11.5},
          Floated{38.1, 0.05, 13.0, {9.852, 14.88}, {14.88, 15.38, 0.0}, 0.95, 0, 0.15, 11.2, 5.0}}) {
        CAPTURE(of.outer);
        const testing::RingWalk walk = testing::walk_ring(stack_of(of));
        INFO(walk.words());
        CHECK(walk.states == 2);
        CHECK(walk.holds());
        CHECK(walk.worst.end.find("beyond the theory") != std::string::npos); // at twice their pressure
    }
}

TEST_CASE("windows bend little as linear harmonics where what touches does so all round", "[stack][uneven]") {
    // At 8 bar the hub lets go of the shim at the ports where the spring presses with 17 N, not with 40.
    Floated of{19.1, 0.2, 15.0, {8.072, 8.93}, {8.93, 8.93, 0.05}, 0.4, 6, 0.65, 10.0, 17.0, RestsOn::hub};
    const double pressure = 8e5;
    for (const double preload : {17.0, 40.0}) {
        of.preload = preload;
        CAPTURE(preload);
        const Stack stack = stack_of(of);
        const Solution solution(stack, {.max_pressure = 30e5});
        const UnevenLift bent = solution.uneven(pressure).value();
        const RingLift linear = solution.ring_lift(pressure).value();
        CHECK(linear.waviness < 0.02);
        const double off = (bent.mid_port - linear.mid_port) / linear.mean;
        if (preload > 30.0) {
            CHECK(bent.state.float_lift < 1e-12);
            CHECK(std::abs(off) < 2e-3);
        } else {
            CHECK(bent.state.float_lift > 1e-6);
            CHECK(off > 0.1);
        }
        CHECK(testing::walk_ring(stack).holds());
    }
}
