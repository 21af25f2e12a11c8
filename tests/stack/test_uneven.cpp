#include <stack/samples.hpp>
#include <stack/windowed.hpp>
#include <support/catch.hpp>
#include <valve/stack/solution.hpp>

#include <optional>

using namespace valve::stack;
using testing::windowed;

namespace {

const FollowOptions to_ten_bar{Theory::large_deflection, 10e5};

UnevenLift uneven_at(const Stack& stack, double pressure) {
    const std::optional<UnevenLift> lift = Solution(stack, to_ten_bar).uneven(pressure);
    REQUIRE(lift);
    return *lift;
}

} // namespace

TEST_CASE("a stack goes on in waves where its round shape buckles", "[stack][uneven]") {
    const Stack stack = windowed({{15, 0.2}, {13, 0.15}}, 0, 1.0);
    const Solution solution(stack, to_ten_bar);
    const std::optional<Waves> waves = solution.waves_up_to(10e5);
    REQUIRE(waves);
    CHECK_FALSE(solution.uneven(0.99 * waves->pressure));
    double lift = solution.at(waves->pressure).seat_lift;
    double uneven = 0.0;
    for (const double times : {1.02, 1.2, 1.6, 2.5}) {
        CAPTURE(times);
        const double pressure = times * waves->pressure;
        const std::optional<UnevenLift> found = solution.uneven(pressure);
        REQUIRE(found);
        CHECK(found->waves == waves->count);
        CHECK(found->state.seat_lift > lift);
        CHECK(found->state.seat_lift > solution.at(pressure).seat_lift);
        CHECK(found->crest - found->trough > uneven);
        CHECK(found->state.peak.stress > solution.at(pressure).peak.stress);
        const double load = solution.curve().load_area * pressure;
        CHECK_THAT(-found->state.hub_force, WithinRel(load, 1e-6)); // the clamp bears it
        lift = found->state.seat_lift;
        uneven = found->crest - found->trough;
        if (times == 1.02)
            CHECK_THAT(lift, WithinRel(solution.at(pressure).seat_lift, 0.02)); // as it branches
    }
}

TEST_CASE("what a stack in waves says does not depend on what was asked before", "[stack][uneven]") {
    const Stack stack = windowed({{15, 0.2}}, 0, 1.0);
    const Solution one(stack, to_ten_bar);
    const Solution other(stack, to_ten_bar);
    const double low = 1.05 * one.waves_up_to(10e5)->pressure;
    const double first = one.uneven(low)->crest;
    const double second = one.uneven(3.0 * low)->crest;
    CHECK(other.uneven(3.0 * low)->crest == second);
    CHECK(other.uneven(2.0 * low));
    CHECK(other.uneven(low)->crest == first);
}

TEST_CASE("windows over the whole ring leave a stack round", "[stack][uneven]") {
    const Stack stack = windowed({{15, 0.2}}, 4, 1.0);
    const Solution solution(stack, to_ten_bar);
    const UnevenLift lift = uneven_at(stack, 1e5);
    CHECK_THAT(lift.crest, WithinRel(lift.trough, 1e-9));
    CHECK_THAT(lift.state.seat_lift, WithinRel(solution.at(1e5).seat_lift, 1e-4)); // 14 elements beside 40
    CHECK_THAT(lift.state.edge_lift, WithinRel(solution.at(1e5).edge_lift, 1e-4));
    CHECK_THAT(lift.state.peak.stress, WithinRel(solution.at(1e5).peak.stress, 0.01));

    // Shims that touch at their faces are stiffer than at their middles, by half their slope or less where
    // one is bent over the other by their thickness over its radius of curvature.
    const Stack two = windowed({{15, 0.2}, {12, 0.2}}, 4, 1.0);
    const UnevenLift pair = uneven_at(two, 1e5);
    const double round = Solution(two, to_ten_bar).at(1e5).seat_lift;
    CHECK_THAT(pair.crest, WithinRel(pair.trough, 1e-9));
    CHECK(pair.state.seat_lift < round);
    CHECK_THAT(pair.state.seat_lift, WithinRel(round, 1e-3));
}

TEST_CASE("low waves over windows are those of the linear harmonics", "[stack][uneven]") {
    const Stack stack = windowed({{15, 0.2}, {12, 0.2}}, 4, 0.6);
    const double pressure = 0.05e5;
    const std::optional<RingLift> linear = Solution(stack, to_ten_bar).ring_lift(pressure);
    REQUIRE(linear);
    const UnevenLift lift = uneven_at(stack, pressure);
    // The rest goes with the square of the waves, and contact that differs round the ring.
    CHECK_THAT(lift.mid_port, WithinRel(linear->mid_port, 5e-3));
    CHECK_THAT(lift.mid_land, WithinRel(linear->mid_land, 5e-3));
    CHECK_THAT(lift.open_arcs, WithinRel(linear->open_arcs, 5e-3));
    CHECK_THAT(lift.state.seat_lift, WithinRel(linear->mean, 5e-3));
}

TEST_CASE("a preloaded shim opens over the ports while it lies on the lands", "[stack][uneven]") {
    const Stack stack = windowed({{15, 0.2}}, 3, 0.5, 0.1);
    const Solution solution(stack, to_ten_bar);
    const std::optional<UnevenCrack> crack = solution.uneven_crack();
    REQUIRE(crack);
    REQUIRE(crack->mid_port);
    REQUIRE(crack->mid_land);
    CHECK(*crack->mid_port < solution.curve().crack_pressure);
    CHECK(*crack->mid_land > solution.curve().crack_pressure);
    // The load at mid-port by harmonics about the round state: up to there all lies on the land.
    CHECK_THAT(*crack->mid_port, WithinRel(*solution.ring().crack_mid_port, 0.05)); // nodes 10° apart
    const double between = 0.5 * (*crack->mid_port + *crack->mid_land);
    const std::optional<UnevenLift> open = solution.uneven(between);
    REQUIRE(open);
    CHECK(open->mid_port > 0.01e-3);
    CHECK_THAT(open->mid_land, WithinAbs(0.0, 1e-12));
    CHECK(open->state.seat_force > 0.0);
    const double load = solution.curve().load_area * between;
    CHECK_THAT(-open->state.hub_force, WithinRel(load + open->state.seat_force, 1e-6));
    CHECK(solution.uneven(1.1 * *crack->mid_land)->mid_land > 0.0);
    CHECK(solution.uneven(0.9 * *crack->mid_port)->mid_port < 1e-12);
}

TEST_CASE("equal shims in waves carry equal shares", "[stack][uneven]") {
    // But for their faces, off their middles, which make three a little stiffer.
    const UnevenLift one = uneven_at(windowed({{15, 0.2}}, 3, 0.5), 1e5);
    const UnevenLift three = uneven_at(windowed({{15, 0.2}, {15, 0.2}, {15, 0.2}}, 3, 0.5), 3e5);
    CHECK(three.crest < one.crest);
    CHECK_THAT(three.crest, WithinRel(one.crest, 0.01));
    CHECK_THAT(three.state.peak.stress, WithinRel(one.state.peak.stress, 0.01));
}

TEST_CASE("equal shims touch each other as do some that are told apart", "[stack][uneven]") {
    // The first are one leaf, the others of as good as the same thickness are not.
    const UnevenLift equal = uneven_at(windowed({{15, 0.1}, {15, 0.1}, {15, 0.1}, {13, 0.1}}, 3, 0.5), 2e5);
    const UnevenLift apart =
        uneven_at(windowed({{15, 0.1}, {15, 0.1 * (1.0 + 1e-7)}, {15, 0.1}, {13, 0.1}}, 3, 0.5), 2e5);
    CHECK_THAT(equal.state.seat_lift, WithinRel(apart.state.seat_lift, 2e-4));
    CHECK_THAT(equal.crest, WithinRel(apart.crest, 2e-4));
    CHECK_THAT(equal.trough, WithinRel(apart.trough, 5e-4));
}

TEST_CASE("a check plate over windows floats and bends", "[stack][uneven]") {
    Stack stack = testing::check_plate();
    stack.windows = 4;
    stack.coverage = 0.6;
    const Solution solution(stack, to_ten_bar);
    const UnevenLift lift = uneven_at(stack, 0.5e5);
    CHECK(lift.crest > lift.trough);
    CHECK(lift.state.float_lift > 0.1e-3);
    const double spring = 2.0 + 800.0 * lift.state.float_lift; // the coil's ring is the one that floats
    const double load = solution.curve().load_area * 0.5e5;
    CHECK_THAT(lift.state.stop_force + spring, WithinRel(load + lift.state.hub_force, 1e-6));

    stack.edge = InnerEdge::guided;
    CHECK_FALSE(Solution(stack, to_ten_bar).uneven(0.5e5));
}

TEST_CASE("linear plates and stacks that stay round have no uneven lift", "[stack][uneven]") {
    CHECK_FALSE(Solution(windowed({{15, 0.2}}, 3, 0.5), {Theory::linear, 10e5}).uneven(1e5));
    CHECK_FALSE(Solution(windowed({{15, 0.2}}, 0, 1.0), to_ten_bar).uneven(0.5e5));
    CHECK_FALSE(Solution(windowed({{15, 0.2}}, 0, 1.0), to_ten_bar).uneven_crack());
    const Solution thin(windowed({{15, 0.1}}, 3, 0.5), to_ten_bar);
    CHECK_THROWS_WITH(thin.uneven(100e5), contains_text("beyond the theory"));
}
