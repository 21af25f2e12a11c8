#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/damper/steady.hpp>

#include <cmath>
#include <stdexcept>

using namespace valve;
using damper::Chamber;
using damper::Model;
using damper::Place;
using damper::SteadyPoint;

namespace {

/// A fork without bleeds, leak or friction.
damper::SetUp bare_fork() {
    damper::SetUp setup = samples::fork();
    setup.cartridge.ring_leak.reset();
    setup.reservoir.friction = 0.0;
    for (auto& valve : setup.valves.at_place) {
        valve->bleed.reset();
        valve->jet_force = 0.0;
    }
    return setup;
}

double area(const flow::Valve& valve) {
    return valve.ports.count * valve.ports.area_each;
}

} // namespace

TEST_CASE("force follows from the pressures, with every definition", "[damper][steady]") {
    damper::SetUp setup = samples::fork();
    setup.reservoir.preload = 4000.0; // enough to keep the rod side full
    const Model model(setup, samples::bending_laws(setup));
    const double travel = 0.12;
    const double p_S0 = model.reservoir().pressure(travel, model.rod_area() * travel);
    const double rubbing = model.reservoir().friction_pressure();
    for (const double speed : {-3.0, -0.5, -0.02, 0.02, 0.5, 3.0}) {
        CAPTURE(speed);
        const SteadyPoint point = damper::steady_point(model, speed, travel);
        const double force =
            model.piston_area() * point.p_C - model.annulus_area() * point.p_R - model.rod_area() * p_atm;
        CHECK_THAT(point.force, WithinRel(force, 1e-12));
        CHECK_THAT(point.static_force, WithinRel(model.rod_area() * (p_S0 - p_atm), 1e-12));
        CHECK(point.damping_force == point.force - point.static_force);
        CHECK_THAT(point.p_S, WithinRel(p_S0 + (speed > 0.0 ? rubbing : -rubbing), 1e-14));
        CHECK(point.reservoir_friction == rubbing);
        CHECK(point.headroom_C == point.p_C - 20e3);
        CHECK(point.headroom_R == point.p_R - 20e3);
        REQUIRE_FALSE(point.cavitated);
        CHECK(point.void_growth == 0.0);
        if (speed > 0.0) {
            CHECK_THAT(point.p_C - point.p_S, WithinRel(point.dp_base, 1e-11));
            CHECK_THAT(point.p_C - point.p_R, WithinRel(point.dp_piston, 1e-11));
            CHECK_FALSE(point.refill_deficit);
            CHECK(*point.balance_margin == point.dp_base - point.dp_piston);
            const double base = model.rod_area() * point.dp_base;
            CHECK_THAT(*point.share_base,
                       WithinRel(base / (base + model.annulus_area() * point.dp_piston), 1e-14));
            // damping = the two valves and the friction
            CHECK_THAT(
                point.damping_force,
                WithinRel(base + model.annulus_area() * point.dp_piston + model.rod_area() * rubbing, 1e-9));
        } else {
            CHECK_THAT(point.p_S - point.p_C, WithinRel(point.dp_base, 1e-9));
            CHECK(*point.refill_deficit == point.dp_base);
            CHECK_FALSE(point.balance_margin);
            CHECK_FALSE(point.share_base);
        }
    }
}

TEST_CASE("at rest there is only the static force", "[damper][steady]") {
    const damper::SetUp setup = samples::fork();
    const SteadyPoint point = damper::steady_point(Model(setup, samples::bending_laws(setup)), 0.0, 0.1);
    CHECK(point.p_C == point.p_S);
    CHECK(point.p_R == point.p_S);
    CHECK_THAT(point.damping_force, WithinAbs(0.0, 1e-12)); // rounding of forces of tens of newtons
    CHECK_FALSE(point.refill_deficit);
    CHECK_FALSE(point.balance_margin);
    CHECK_FALSE(point.share_base);
}

TEST_CASE("without shims the damper is four orifices", "[damper][steady]") {
    damper::SetUp setup = bare_fork();
    setup.reservoir.preload = 1000.0; // enough to keep the rod side full
    for (auto& valve : setup.valves.at_place)
        valve->discharge.port_transition = valve->discharge.curtain_transition = 1e-3; // turbulent throughout
    const Model model(setup, samples::laws_of(setup, samples::wide_open()));
    const double density = model.oil().density;
    // ports and the 50 mm curtain in series
    const auto drop = [&](Place place, double flow) {
        const flow::Valve& valve = *setup.valves[place];
        const double curtain = 2.0 * std::acos(-1.0) * valve.stack.seat.inner_radius * 50e-3;
        return density / 2.0 *
               (std::pow(flow / (0.75 * area(valve)), 2) + std::pow(flow / (0.7 * curtain), 2));
    };
    for (const double speed : {0.1, 0.3, 1.0, 2.0}) {
        CAPTURE(speed);
        const SteadyPoint in = damper::steady_point(model, speed, 0.15);
        const double base = drop(Place::base_compression, model.rod_area() * speed);
        const double mid = drop(Place::piston_compression, model.annulus_area() * speed);
        REQUIRE_FALSE(in.cavitated);
        // the curtain's lift rises by 1e-3 mm over 200 bar
        CHECK_THAT(in.damping_force, WithinRel(model.rod_area() * base + model.annulus_area() * mid, 1e-8));
        const SteadyPoint out = damper::steady_point(model, -speed, 0.15);
        const double refill = drop(Place::base_refill, model.rod_area() * speed);
        const double rebound = drop(Place::piston_rebound, model.annulus_area() * speed);
        CHECK_THAT(out.damping_force,
                   WithinRel(-model.rod_area() * refill - model.annulus_area() * rebound, 1e-8));
    }
}

TEST_CASE("bleeds alone, laminar, make the damper linear", "[damper][steady]") {
    damper::SetUp setup = bare_fork();
    setup.reservoir.preload = 400.0;
    for (auto& valve : setup.valves.at_place) {
        valve->bleed = flow::Hole{.diameter = 3e-3, .count = 1};
        valve->discharge.bleed_transition = 1e6;
    }
    const Model model(setup, samples::laws_of(setup, samples::stuck()));
    const double slope = damper::steady_point(model, 1e-6, 0.15).damping_force / 1e-6;
    for (const double speed : {-1e-3, -1e-4, 1e-4, 1e-3}) {
        const SteadyPoint point = damper::steady_point(model, speed, 0.15);
        REQUIRE_FALSE(point.cavitated);
        CHECK_THAT(point.damping_force / speed, WithinRel(slope, 2e-5)); // y²/3 of the tanh law at 1 mm/s
    }
}

TEST_CASE("an infinitely soft check leaves the port loss as the refill deficit", "[damper][steady]") {
    const damper::SetUp setup = bare_fork();
    damper::LiftLaws laws = samples::bending_laws(setup);
    laws.at_place[static_cast<std::size_t>(Place::base_refill)] = samples::wide_open();
    const Model model(setup, laws);
    const flow::Valve& refill = *setup.valves[Place::base_refill];
    const flow::Restriction ports(flow::opening(refill.ports), 0.75, 1000.0, model.oil());
    for (const double speed : {0.1, 1.0, 3.0}) {
        const SteadyPoint point = damper::steady_point(model, -speed, 0.15);
        REQUIRE(point.refill_deficit);
        // the curtain, 50 mm by 75.4 mm, adds (0.75 · 96 mm² / 0.7 · 3770 mm²)² = 7.4e-4 of it
        CHECK_THAT(*point.refill_deficit, WithinRel(ports.pressure(model.rod_area() * speed).value, 8e-4));
    }
}

TEST_CASE("a chamber that runs empty on rebound is held at the cavitation pressure", "[damper][steady]") {
    const damper::SetUp setup = samples::fork();
    damper::LiftLaws laws = samples::bending_laws(setup);
    laws.at_place[static_cast<std::size_t>(Place::base_refill)] = samples::stuck();
    const Model model(setup, laws);
    const SteadyPoint point = damper::steady_point(model, -1.0, 0.15);
    REQUIRE(point.cavitated == Chamber::C);
    CHECK(point.p_C == 20e3);
    CHECK(point.headroom_C == 0.0);
    CHECK_THAT(*point.refill_deficit, WithinRel(point.p_S - 20e3, 1e-14));
    const double refilled = -model.base()->at_drop(20e3 - point.p_S).flow;
    CHECK_THAT(point.void_growth + refilled, WithinRel(model.rod_area(), 1e-12));
    CHECK(point.void_growth > 0.0);
    CHECK_THAT(-model.piston().at_drop(point.p_C - point.p_R).flow, WithinRel(model.annulus_area(), 1e-10));
}

TEST_CASE("a rod side that runs empty in compression is held at the cavitation pressure",
          "[damper][steady]") {
    const damper::SetUp setup = samples::fork();
    damper::LiftLaws laws = samples::bending_laws(setup);
    laws.at_place[static_cast<std::size_t>(Place::piston_compression)] = samples::stuck();
    const Model model(setup, laws);
    const SteadyPoint point = damper::steady_point(model, 1.0, 0.15);
    REQUIRE(point.cavitated == Chamber::R);
    CHECK(point.p_R == 20e3);
    const double base = model.base()->at_drop(point.p_C - point.p_S).flow;
    const double piston = model.piston().at_drop(point.p_C - 20e3).flow;
    CHECK_THAT(base + piston, WithinRel(model.piston_area(), 1e-10));
    CHECK_THAT(point.void_growth, WithinRel(model.annulus_area() - piston, 1e-10));
}

TEST_CASE("a piston without any way through leaves a void as large as the annulus", "[damper][steady]") {
    damper::SetUp setup = bare_fork();
    setup.valves[Place::piston_compression].reset();
    const Model model(setup, samples::bending_laws(setup));
    const SteadyPoint point = damper::steady_point(model, 0.5, 0.15);
    CHECK(point.cavitated == Chamber::R);
    CHECK_THAT(point.void_growth, WithinRel(model.annulus_area() * 0.5, 1e-14));
}

TEST_CASE("in a shock without base valve the gas keeps C at reservoir pressure", "[damper][steady]") {
    const damper::SetUp setup = samples::shock();
    const Model model(setup, samples::bending_laws(setup));
    for (const double speed : {-1.0, 0.3, 1.0}) {
        const SteadyPoint point = damper::steady_point(model, speed, 0.05);
        CHECK(point.p_C == point.p_S);
        CHECK(point.dp_base == 0.0);
        if (speed > 0.0) CHECK(*point.share_base == 0.0);
    }
    // Too fast for the gas: what cannot pass the piston goes to the reservoir.
    damper::LiftLaws stiff = samples::laws_of(setup, samples::stuck());
    const Model tight(setup, stiff);
    const SteadyPoint empty = damper::steady_point(tight, 2.0, 0.05);
    REQUIRE(empty.cavitated == Chamber::R);
    CHECK(empty.p_C == empty.p_S);
    const double piston = tight.piston().at_drop(empty.p_S - 20e3).flow;
    CHECK_THAT(empty.void_growth, WithinRel(tight.annulus_area() * 2.0 - piston, 1e-12));
}

TEST_CASE("an open cartridge differs from a closed one at the same pressure by the rod's static force",
          "[damper][steady]") {
    damper::SetUp setup = samples::fork();
    setup.reservoir = {.kind = damper::ReservoirKind::leg};
    setup.cartridge.layout = damper::Layout::open_cartridge;
    const damper::LiftLaws laws = samples::bending_laws(setup);
    const Model open(setup, laws);
    const double p_S = open.reservoir().pressure(0.2, 0.0);

    setup.cartridge.layout = damper::Layout::closed_cartridge;
    setup.reservoir = {.kind = damper::ReservoirKind::spring_piston, .diameter = 36e-3, .back_pressure = p_S};
    const Model closed(setup, laws);
    for (const double speed : {-2.0, -0.1, 0.1, 2.0}) {
        CAPTURE(speed);
        const SteadyPoint in_leg = damper::steady_point(open, speed, 0.2);
        const SteadyPoint alone = damper::steady_point(closed, speed, 0.2);
        CHECK(in_leg.static_force == 0.0);
        CHECK_THAT(in_leg.damping_force, WithinRel(alone.damping_force, 1e-11));
        CHECK_THAT(alone.static_force, WithinRel(closed.rod_area() * (p_S - p_atm), 1e-12));
        CHECK_THAT(in_leg.p_C, WithinRel(alone.p_C, 1e-12));
    }
}

TEST_CASE("a twin tube is a cartridge with gas over its reservoir", "[damper][steady]") {
    damper::SetUp setup = samples::fork();
    setup.reservoir = {.kind = damper::ReservoirKind::bladder, .gas_volume = 100e-6, .gas_pressure = 4e5};
    const damper::LiftLaws laws = samples::bending_laws(setup);
    const Model cartridge(setup, laws);
    setup.cartridge.layout = damper::Layout::twin_tube;
    const Model twin(setup, laws);
    for (const double speed : {-2.0, 2.0})
        CHECK(damper::steady_point(twin, speed, 0.2).force ==
              damper::steady_point(cartridge, speed, 0.2).force);
}

TEST_CASE("a rod that leaves into the leg has less static force and the same damping", "[damper][steady]") {
    const damper::SetUp setup = samples::fork();
    const Model model(setup, samples::bending_laws(setup));
    const SteadyPoint air = damper::steady_point(model, 1.0, 0.2, damper::RodInto::atmosphere);
    const SteadyPoint leg = damper::steady_point(model, 1.0, 0.2, damper::RodInto::leg);
    CHECK(leg.static_force < air.static_force);
    CHECK_THAT(leg.damping_force, WithinRel(air.damping_force, 1e-12));
}

TEST_CASE("a speed that cannot be solved says so and leaves the others alone", "[damper][steady]") {
    const damper::SetUp setup = bare_fork();
    damper::LiftLaws laws = samples::bending_laws(setup);
    laws.at_place[static_cast<std::size_t>(Place::piston_rebound)] =
        stack::LiftLaw({0.0, 1e5, 5e5}, {0.0, 0.0, 0.2e-3}, 2.4e-4);
    const Model model(setup, laws);
    const damper::Curve curve = damper::steady_curve(model, {.speeds = {-4.0, -0.1, 1.0}, .travel = {}});
    REQUIRE(curve.points.size() == 3);
    REQUIRE(curve.points[0].error);
    CHECK_THAT(*curve.points[0].error, contains_text("at -4 m/s and 150 mm travel: piston.rebound") &&
                                           contains_text("beyond the end of its lift curve"));
    CHECK(curve.points[0].speed == -4.0);
    CHECK(curve.points[0].force == 0.0);
    CHECK_FALSE(curve.points[1].error);
    CHECK_FALSE(curve.points[2].error);
    // The piston decides nothing about a void behind it: the search goes on to the top speed.
    CHECK_FALSE(curve.void_onset.rebound);
    CHECK_FALSE(curve.void_onset.error());
}

TEST_CASE("a curve at its default speeds and positions", "[damper][steady]") {
    const damper::SetUp setup = samples::fork();
    const Model model(setup, samples::bending_laws(setup));
    const damper::Curve curve = damper::steady_curve(model);
    CHECK(curve.travel == 0.15);
    CHECK(curve.points.front().speed == -4.0);
    CHECK(curve.points.back().speed == 4.0);
    double before = -5.0;
    for (const SteadyPoint& point : curve.points) {
        CAPTURE(point.speed);
        CHECK(point.speed > before);
        CHECK_FALSE(point.error);
        before = point.speed;
    }
    CHECK_THROWS_WITH(damper::steady_curve(model, {.speeds = {}, .travel = 0.31}), contains_text("310 mm"));
    CHECK_THROWS_AS(damper::steady_point(model, std::nan(""), 0.1), std::invalid_argument);
}

TEST_CASE("what no damper can hold is refused at a stated pressure", "[damper][steady]") {
    damper::SetUp setup = samples::fork();
    setup.valves[damper::Place::piston_rebound]->bleed.reset();
    setup.cartridge.ring_leak.reset();
    setup.valves[damper::Place::piston_rebound]->ports = {.count = 1, .area_each = 0.5e-6};
    const damper::Model model(setup, samples::bending_laws(setup));
    CHECK(damper::steady_point(model, -0.1, 0.15).p_R < 1000e5);
    CHECK_THROWS_WITH(damper::steady_point(model, -3.0, 0.15),
                      contains_text("chamber R would hold") &&
                          contains_text("nothing is computed above 1000 bar"));
}
