#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/damper/steady.hpp>

#include <algorithm>
#include <cmath>

using namespace valve;
using damper::Chamber;
using damper::Model;
using damper::Place;
using damper::SteadyPoint;
using damper::VoidOnset;

namespace {

/// A shock without base valve whose piston passes oil in compression through one turbulent hole, until a
/// light stack opens wide: the pressure drop rises, then hardly more. A base valve that is a hole lifts C all
/// the way.
damper::SetUp dipping() {
    damper::SetUp setup = samples::shock();
    setup.cartridge.ring_leak.reset();
    setup.reservoir.kind = damper::ReservoirKind::bladder;
    setup.valves[Place::piston_rebound]->bleed = flow::Hole{.diameter = 5e-3, .count = 1};
    setup.valves[Place::base_compression] = samples::valve_of(4, 13e-6, 22e-3, 24e-3);
    setup.valves[Place::base_compression]->bleed = flow::Hole{.diameter = 4.5e-3, .count = 1};
    setup.valves[Place::piston_compression]->ports = {.count = 6, .area_each = 60e-6};
    return setup;
}

damper::LiftLaws dipping_laws(const damper::SetUp& setup) {
    damper::LiftLaws laws = samples::laws_of(setup, samples::stuck());
    laws.at_place[static_cast<std::size_t>(Place::piston_compression)] =
        stack::LiftLaw({0.0, 8e5, 8.5e5, 200e5}, {0.0, 0.0, 5e-3, 5.1e-3}, 4e-4);
    return laws;
}

double rod_side_headroom(const Model& model, double speed) {
    return damper::steady_point(model, speed, 0.05).headroom_R;
}

} // namespace

TEST_CASE("the void begins where an orifice needs all of the reservoir's pressure", "[damper][void]") {
    damper::SetUp setup = samples::fork();
    setup.cartridge.ring_leak.reset();
    setup.reservoir.friction = 0.0;
    setup.valves[Place::base_compression]->bleed.reset();
    setup.valves[Place::base_refill]->bleed = flow::Hole{.diameter = 1.5e-3, .count = 1};
    setup.valves[Place::base_refill]->discharge.bleed_transition = 1e-3; // turbulent throughout
    damper::LiftLaws laws = samples::bending_laws(setup);
    laws.at_place[static_cast<std::size_t>(Place::base_refill)] = samples::stuck();
    const Model model(setup, laws);
    double onsets[2]{};
    for (const double travel : {0.15, 0.03}) {
        const double p_S = model.reservoir().pressure(travel, model.rod_area() * travel);
        const double jet = std::sqrt(2.0 * (p_S - 20e3) / model.oil().density);
        const double expected = 0.7 * damper::circle_area(1.5e-3) * jet / model.rod_area();
        const VoidOnset onset = damper::find_void_onset(model, travel, 4.0);
        REQUIRE(onset.rebound);
        CHECK_THAT(*onset.rebound, WithinRel(expected, 1e-10)); // bisected to 1e-12
        CHECK_FALSE(onset.error());
        CHECK(damper::steady_point(model, -1.0001 * expected, travel).cavitated == Chamber::C);
        CHECK_FALSE(damper::steady_point(model, -0.9999 * expected, travel).cavitated);
        onsets[travel < 0.1] = *onset.rebound;
    }
    CHECK(onsets[1] < onsets[0]); // the reservoir helps least near full extension

    const damper::Curve curve = damper::steady_curve(model);
    CHECK(*curve.void_onset.rebound == onsets[0]);
    CHECK(*curve.void_onset_near_extension.rebound == onsets[1]);
    CHECK_FALSE(damper::find_void_onset(model, 0.15, 0.9 * onsets[0]).rebound);
}

TEST_CASE("an onset on a stroke is found where the pressure dips and recovers", "[damper][void]") {
    damper::SetUp setup = dipping();
    const damper::LiftLaws laws = dipping_laws(setup);
    const Model model(setup, laws);
    double lowest = 1e9;
    double at_lowest = 0.0;
    for (int i = 1; i <= 4000; ++i) {
        const double here = rod_side_headroom(model, 1e-3 * i);
        if (here < lowest) {
            lowest = here;
            at_lowest = 1e-3 * i;
        }
    }
    REQUIRE(lowest > 0.0);
    REQUIRE(rod_side_headroom(model, 4.0) > lowest + 1e5); // it recovers
    REQUIRE(at_lowest < 3.0);
    CHECK_FALSE(damper::find_void_onset(model, 0.05, 4.0).compression);

    // Gas pressure lowered until the dip just dips in: by a wide margin, and by less than the scan's step
    // shows.
    for (const double excess : {0.5e5, 30.0}) {
        CAPTURE(excess);
        damper::SetUp low = setup;
        const double at_travel = model.reservoir().pressure(0.05, model.rod_area() * 0.05);
        low.reservoir.gas_pressure *= (at_travel - lowest - excess) / at_travel;
        const Model lowered(low, laws);
        REQUIRE(rod_side_headroom(lowered, 4.0) > 0.0);
        const VoidOnset onset = damper::find_void_onset(lowered, 0.05, 4.0);
        REQUIRE(onset.compression);
        CHECK(*onset.compression < at_lowest + 1e-3);
        CHECK(damper::steady_point(lowered, *onset.compression, 0.05).cavitated == Chamber::R);
        CHECK_FALSE(damper::steady_point(lowered, *onset.compression * (1.0 - 1e-9), 0.05).cavitated);
        for (int i = 1; i < 1000; ++i)
            REQUIRE_FALSE(damper::steady_point(lowered, *onset.compression * i / 1000.0, 0.05).cavitated);
    }
}
