#include <setup/written.hpp>
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

setup::Reading invented_fork(const std::vector<setup::Override>& overrides = {}) {
    return setup::read(samples::fork_document(overrides));
}

/// The mid-valve of the set-up after a step.
stack::Stack mid_valve(const setup::Reading& reading, LeadBy by, int steps) {
    return setup::read(study::stepped(reading, by, steps)).unit->valves[Place::piston_compression]->stack;
}

damper::LiftCache& lifts() {
    static damper::LiftCache cache({.theory = stack::Theory::linear});
    return cache;
}

double margin(const setup::Reading& reading, LeadBy by, int steps) {
    const setup::Reading then = setup::read(study::stepped(reading, by, steps));
    return damper::steady_point(lifts().model(*then.unit), speed, travel).balance_margin.value();
}

} // namespace

TEST_CASE("the change that lets the base valve lead is the smallest that does", "[study][lead]") {
    const setup::Reading reading = invented_fork();
    const Lead lead = study::find_lead(reading, speed, travel, lifts());
    CHECK(lead.margin < 0.0);
    REQUIRE(lead.changes.size() == 3);
    for (const LeadChange& change : lead.changes) {
        CAPTURE(static_cast<int>(change.by));
        REQUIRE_FALSE(change.error);
        CHECK(change.margin == margin(reading, change.by, change.steps.value_or(change.most)));
        CHECK(change.margin > lead.margin);
        if (!change.steps) {
            CHECK(change.margin < 0.0);
            continue;
        }
        CHECK(change.margin >= 0.0);
        CHECK(margin(reading, change.by, *change.steps - 1) < 0.0);
    }
    const LeadChange& more_float = lead.changes.front();
    CHECK(more_float.by == LeadBy::mid_valve_float);
    CHECK(more_float.key == "valves.piston.compression.float.travel");
    CHECK(more_float.from == 0.05e-3);
    REQUIRE(more_float.steps);
    CHECK_THAT(more_float.to, WithinRel(0.05e-3 + *more_float.steps * study::lead_float_step, 1e-12));
    CHECK(more_float.damping_force < lead.damping_force); // the mid-valve gives way
    CHECK(lead.changes.at(1).by == LeadBy::base_face_shims);
    CHECK(lead.changes.at(1).from == 5.0);
    CHECK(lead.changes.at(1).damping_force > lead.damping_force); // the base valve grows harder
}

TEST_CASE("a base valve that leads needs no change, nor does a shock with gas behind it", "[study][lead]") {
    const Lead slow = study::find_lead(invented_fork(), 0.01, travel, lifts());
    CHECK(slow.margin >= 0.0);
    CHECK(slow.changes.empty());

    CHECK(study::margin_decides(*invented_fork().unit));
    damper::SetUp without_base = *invented_fork().unit;
    without_base.valves[damper::Place::base_compression].reset();
    CHECK(study::margin_decides(without_base)); // a check is left
    without_base.valves[damper::Place::base_refill].reset();
    CHECK_FALSE(study::margin_decides(without_base)); // the margin is the piston's loss alone
    const setup::Override monotube{"damper.layout", "monotube"};
    const setup::Override no_support{"support", "null"};
    CHECK(
        study::margin_decides(*invented_fork({monotube, no_support}).unit)); // a spring stands behind its oil
    const setup::Reading shock =
        invented_fork({monotube,
                       no_support,
                       {"reservoir", "{kind: gas_piston, diameter: 46 mm, friction: 20 N, "
                                     "gas_volume: 100 ml, gas_pressure: 10 bar}"}});
    CHECK_FALSE(study::margin_decides(*shock.unit));
    const Lead lead = study::find_lead(shock, speed, travel, lifts());
    CHECK(lead.margin < 0.0);
    CHECK(lead.changes.empty());
}

TEST_CASE("what a set-up does not have is not stepped", "[study][lead]") {
    const setup::Override no_float{"valves.piston.compression.float", "null"};
    const setup::Override one_face_shim{"valves.piston.compression.shims", "[21 x 0.40, 3 * 21 x 0.25]"};
    const setup::Reading reading = invented_fork({no_float, one_face_shim});
    const Lead lead = study::find_lead(reading, speed, travel, lifts());
    CHECK(lead.margin < 0.0);
    REQUIRE(lead.changes.size() == 1);
    CHECK(lead.changes.front().by == LeadBy::base_face_shims);
    CHECK_THROWS_AS(study::stepped(reading, LeadBy::mid_valve_float, 1), std::invalid_argument);
    CHECK_THROWS_AS(study::stepped(reading, LeadBy::mid_valve_shims, 1), std::invalid_argument);
    CHECK_THROWS_AS(study::find_lead(reading, -1.0, travel, lifts()), std::invalid_argument);
    const Lead without_base = study::find_lead(
        invented_fork(
            {no_float, one_face_shim, {"valves.base.compression", "null"}, {"valves.base.refill", "null"}}),
        speed, travel, lifts());
    CHECK(without_base.margin < 0.0);
    CHECK(without_base.changes.empty());
    setup::Reading put_together = invented_fork();
    put_together.written.reset();
    CHECK_THROWS_AS(study::stepped(put_together, LeadBy::base_face_shims, 1), std::invalid_argument);
}

TEST_CASE("a step adds to the face and takes from it", "[study][lead]") {
    const setup::Reading reading = invented_fork();
    const damper::SetUp harder = *setup::read(study::stepped(reading, LeadBy::base_face_shims, 2)).unit;
    CHECK(harder.valves[Place::base_compression]->stack.shims.size() == 7);
    const stack::Stack as_is = reading.unit->valves[Place::piston_compression]->stack;
    CHECK(mid_valve(reading, LeadBy::mid_valve_shims, 3).shims.size() == 1);
    CHECK(mid_valve(reading, LeadBy::mid_valve_shims, 3).floating == as_is.floating);
    CHECK_THAT(mid_valve(reading, LeadBy::mid_valve_float, 7).floating->travel, WithinRel(0.12e-3, 1e-12));
    CHECK(mid_valve(reading, LeadBy::mid_valve_float, 0) == as_is);
}

TEST_CASE("a shim taken off a sleeve gives float back", "[study][lead]") {
    const setup::Reading reading = invented_fork(
        {{"valves.piston.compression.float", "{sleeve: 1.05 mm, rate: 1.2 N/mm, preload: 1 N}"}});
    CHECK_THAT(reading.unit->valves[Place::piston_compression]->stack.floating->travel,
               WithinRel(0.05e-3, 1e-9));
    CHECK_THAT(mid_valve(reading, LeadBy::mid_valve_shims, 2).floating->travel, WithinRel(0.55e-3, 1e-9));
    // More float comes from a longer sleeve.
    const setup::Document longer = study::stepped(reading, LeadBy::mid_valve_float, 7);
    CHECK(longer.get("valves.piston.compression.float.sleeve")->text == "1.12 mm");
    CHECK_THAT(mid_valve(reading, LeadBy::mid_valve_float, 7).floating->travel, WithinRel(0.12e-3, 1e-9));
    const Lead lead = study::find_lead(reading, speed, travel, lifts());
    REQUIRE(lead.changes.size() == 3);
    CHECK(lead.changes.front().key == "valves.piston.compression.float.sleeve");
    CHECK(lead.changes.back().float_given_back > 0.2e-3);
}

TEST_CASE("a mid-valve that chokes in its ports is told by their share of its loss", "[study][lead]") {
    const Lead wide = study::find_lead(invented_fork(), speed, travel, lifts());
    const Lead narrow = study::find_lead(invented_fork({{"valves.piston.compression.ports.area", "0.5 mm2"}}),
                                         speed, travel, lifts());
    REQUIRE(wide.mid_valve_port_share);
    REQUIRE(narrow.mid_valve_port_share);
    CHECK(*narrow.mid_valve_port_share > *wide.mid_valve_port_share);
    CHECK(narrow.mid_valve_chokes());
}
