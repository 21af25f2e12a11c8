#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/study/lead.hpp>

#include <stdexcept>

using namespace valve;
using damper::Place;
using study::Lead;
using study::LeadBy;
using study::LeadChange;

namespace {

constexpr double speed = 2.0;
constexpr double travel = 0.15;

/// A fork whose mid-valve has next to no float over four plates, and whose base has five. Kept full by a
/// hard reservoir.
damper::SetUp hard_mid_valve() {
    damper::SetUp setup = samples::fork();
    setup.reservoir.preload = 1000.0;
    stack::Stack& mid = setup.valves[Place::piston_compression]->stack;
    const stack::Shim plate = mid.shims.front();
    mid.shims.assign(4, {.outer_radius = plate.outer_radius, .thickness = 0.25e-3, .material = {}});
    mid.edge = stack::InnerEdge::free;
    mid.bore_radius = mid.clamp_radius;
    mid.floating = stack::Float{.travel = 0.05e-3,
                                .spring_rate = 1200.0,
                                .preload = 1.0,
                                .ring_radius = mid.clamp_radius,
                                .spring_radius = mid.clamp_radius,
                                .stop_radius = mid.clamp_radius};
    stack::Stack& base = setup.valves[Place::base_compression]->stack;
    base.shims.assign(5, base.shims.front());
    return setup;
}

damper::LiftCache& lifts() {
    static damper::LiftCache cache({.theory = stack::Theory::linear});
    return cache;
}

double margin(const damper::SetUp& setup, LeadBy by, int steps) {
    const damper::Model model = lifts().model(study::stepped(setup, by, steps));
    return damper::steady_point(model, speed, travel).balance_margin.value();
}

} // namespace

TEST_CASE("the change that lets the base valve lead is the smallest that does", "[study][lead]") {
    const damper::SetUp setup = hard_mid_valve();
    const Lead lead = study::find_lead(setup, speed, travel, lifts());
    CHECK(lead.margin < 0.0);
    REQUIRE(lead.changes.size() == 3);
    for (const LeadChange& change : lead.changes) {
        CAPTURE(static_cast<int>(change.by));
        REQUIRE_FALSE(change.error);
        CHECK(change.margin == margin(setup, change.by, change.steps.value_or(change.most)));
        CHECK(change.margin > lead.margin);
        if (!change.steps) {
            CHECK(change.margin < 0.0);
            continue;
        }
        CHECK(change.margin >= 0.0);
        CHECK(margin(setup, change.by, *change.steps - 1) < 0.0);
    }
    const LeadChange& more_float = lead.changes.front();
    CHECK(more_float.by == LeadBy::mid_valve_float);
    CHECK(more_float.steps);
    CHECK(more_float.damping_force < lead.damping_force); // the mid-valve gives way
    CHECK(lead.changes.at(1).by == LeadBy::base_face_shims);
    CHECK(lead.changes.at(1).damping_force > lead.damping_force); // the base valve grows harder
}

TEST_CASE("a base valve that leads needs no change, nor does a shock with gas behind it", "[study][lead]") {
    damper::SetUp setup = hard_mid_valve();
    const Lead slow = study::find_lead(setup, 0.01, travel, lifts());
    CHECK(slow.margin >= 0.0);
    CHECK(slow.changes.empty());

    CHECK(study::margin_decides(setup));
    setup.cartridge.layout = damper::Layout::monotube;
    setup.support.reset();
    CHECK(study::margin_decides(setup)); // a spring stands behind its oil
    setup.reservoir = samples::shock().reservoir;
    setup.reservoir.gas_volume = 100e-6;
    CHECK_FALSE(study::margin_decides(setup));
    const Lead shock = study::find_lead(setup, speed, travel, lifts());
    CHECK(shock.margin < 0.0);
    CHECK(shock.changes.empty());
}

TEST_CASE("what a set-up does not have is not stepped", "[study][lead]") {
    damper::SetUp setup = hard_mid_valve();
    stack::Stack& mid = setup.valves[Place::piston_compression]->stack;
    mid.floating.reset();
    mid.edge = stack::InnerEdge::clamped;
    mid.shims.front().thickness = 0.4e-3; // the face shim, of which there is one
    const Lead lead = study::find_lead(setup, speed, travel, lifts());
    CHECK(lead.margin < 0.0);
    REQUIRE(lead.changes.size() == 1);
    CHECK(lead.changes.front().by == LeadBy::base_face_shims);
    CHECK_THROWS_AS(study::stepped(setup, LeadBy::mid_valve_float, 1), std::invalid_argument);
    CHECK_THROWS_AS(study::stepped(setup, LeadBy::mid_valve_shims, 1), std::invalid_argument);
    CHECK_THROWS_AS(study::find_lead(setup, -1.0, travel, lifts()), std::invalid_argument);
    setup.valves[Place::base_compression].reset();
    setup.valves[Place::base_refill].reset();
    const Lead without_base = study::find_lead(setup, speed, travel, lifts());
    CHECK(without_base.margin < 0.0);
    CHECK(without_base.changes.empty());
}

TEST_CASE("a step adds to the face and takes from it", "[study][lead]") {
    const damper::SetUp setup = hard_mid_valve();
    const damper::SetUp harder = study::stepped(setup, LeadBy::base_face_shims, 2);
    CHECK(harder.valves[Place::base_compression]->stack.shims.size() == 7);
    const damper::SetUp softer = study::stepped(setup, LeadBy::mid_valve_shims, 3);
    CHECK(softer.valves[Place::piston_compression]->stack.shims.size() == 1);
    CHECK(softer.valves[Place::piston_compression]->stack.floating ==
          setup.valves[Place::piston_compression]->stack.floating);
    const damper::SetUp looser = study::stepped(setup, LeadBy::mid_valve_float, 7);
    CHECK_THAT(looser.valves[Place::piston_compression]->stack.floating->travel, WithinRel(0.12e-3, 1e-12));
    CHECK(study::stepped(setup, LeadBy::mid_valve_float, 0) == setup);
}
