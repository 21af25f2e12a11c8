#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/damper/lift_cache.hpp>

using namespace valve;
using damper::Place;

namespace {

/// A fork whose rebound stack lies over three windows.
damper::SetUp windowed_fork() {
    damper::SetUp setup = samples::fork();
    stack::Stack& stack = setup.valves[Place::piston_rebound]->stack;
    stack.windows = 3;
    stack.coverage = 0.5;
    return setup;
}

const stack::LiftLaw& rebound(const damper::LiftLaws& laws) {
    return *laws.at_place.at(static_cast<std::size_t>(Place::piston_rebound));
}

} // namespace

TEST_CASE("stacks of the same content are followed once", "[damper][lift_cache]") {
    damper::LiftCache cache({.max_pressure = 2e5});
    const damper::SetUp setup = samples::fork();
    cache.laws(setup);
    CHECK(cache.size() == 3); // both piston valves are alike
    cache.laws(setup);
    CHECK(cache.size() == 3);
}

TEST_CASE("seats of their own open by the lift over the ports, a ring by its mean", "[damper][lift_cache]") {
    damper::LiftCache cache({.max_pressure = 2e5, .shape = stack::Shape::round});
    damper::SetUp setup = windowed_fork();
    const stack::LiftLaw mean = rebound(cache.laws(setup));
    setup.valves[Place::piston_rebound]->curtain_length = 30e-3;
    const stack::LiftLaw over_ports = rebound(cache.laws(setup));
    CHECK(cache.size() == 4); // one curve for both

    const std::optional<stack::RingLift> ring =
        stack::Solution(setup.valves[Place::piston_rebound]->stack).ring_lift(0.2e5);
    REQUIRE(ring);
    CHECK_THAT(over_ports.at(0.2e5).lift, WithinRel(ring->open_arcs, 2e-3)); // that of the interpolation
    CHECK_THAT(mean.at(0.2e5).lift, WithinRel(ring->mean, 2e-3));
    CHECK(ring->open_arcs > 1.2 * ring->mean);
}

TEST_CASE("stacks are followed as they bend, by the mean that the valve opens by", "[damper][lift_cache]") {
    damper::LiftCache cache({.max_pressure = 2e5});
    damper::SetUp setup = windowed_fork();
    const auto rebound = static_cast<std::size_t>(Place::piston_rebound);
    const stack::UnevenLawValue value =
        cache.solution(setup.valves[Place::piston_rebound]->stack)->uneven_law(0.2e5);
    CHECK(cache.laws(setup).bent.at(rebound)->at(0.2e5).lift.lift == value.ring.lift);
    setup.valves[Place::piston_rebound]->curtain_length = 30e-3;
    CHECK(cache.laws(setup).bent.at(rebound)->at(0.2e5).lift.lift == value.open_arcs.lift);
    CHECK(cache.model(setup).bends());
    CHECK_FALSE(cache.as_round().model(setup).bends());
    CHECK(cache.bends(*setup.valves[Place::piston_rebound], 2e5));

    damper::LiftCache linear({.theory = stack::Theory::linear, .max_pressure = 2e5});
    CHECK_FALSE(linear.model(setup).bends());
    damper::LiftCache round({.max_pressure = 2e5, .shape = stack::Shape::round});
    CHECK_FALSE(round.model(setup).bends());
    CHECK_FALSE(round.bends(*setup.valves[Place::piston_rebound], 2e5));
}

TEST_CASE("stacks followed at the same time are those followed one by one", "[damper][lift_cache]") {
    const stack::FollowOptions options{.max_pressure = 2e5};
    const damper::SetUp setup = samples::fork();
    damper::LiftCache together(options);
    together.laws(setup);
    for (const Place place : damper::all_places) {
        const stack::Stack& stack = setup.valves[place]->stack;
        const stack::LiftCurve alone = stack::Solution(stack, options).curve();
        const stack::LiftCurve cached = together.curve(stack);
        REQUIRE(cached.points.size() == alone.points.size());
        for (std::size_t i = 0; i < alone.points.size(); ++i) {
            CHECK(cached.points[i].pressure == alone.points[i].pressure);
            CHECK(cached.points[i].seat_lift == alone.points[i].seat_lift);
        }
    }
    CHECK(together.size() == 3); // nothing was followed again
}

TEST_CASE("a stack that cannot be followed is told by an exception, and the cache goes on",
          "[damper][lift_cache]") {
    damper::LiftCache cache({.max_pressure = 2e5});
    damper::SetUp setup = samples::fork();
    setup.valves[Place::base_refill]->stack.seat.outer_radius = 0.0;
    CHECK_THROWS_AS(cache.laws(setup), std::invalid_argument);
    CHECK_NOTHROW(cache.laws(samples::fork()));
}
