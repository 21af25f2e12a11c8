#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/damper/onset.hpp>
#include <valve/damper/steady.hpp>

#include <cmath>
#include <stdexcept>

using namespace valve;
using damper::Chamber;
using damper::Model;
using damper::Onset;
using damper::OnsetSearch;
using damper::Place;

namespace {

constexpr double travel = 0.15;   // [m]
constexpr double top_speed = 4.0; // [m/s]

/// A fork whose oil all goes through the stacks.
damper::SetUp tight_fork() {
    damper::SetUp setup = samples::fork();
    setup.cartridge.ring_leak.reset();
    for (const Place place : damper::all_places)
        setup.valves[place]->bleed.reset();
    return setup;
}

damper::LiftLaws with_law(damper::LiftLaws laws, Place place, const stack::LiftLaw& law) {
    laws.at_place[static_cast<std::size_t>(place)] = law;
    return laws;
}

/// Ends at 5 bar.
stack::LiftLaw short_law() {
    return {{0.0, 1e5, 5e5}, {0.0, 0.0, 0.2e-3}, 2.4e-4};
}

double pressure_on(const Model& model, Place place, double speed) {
    const double sign = damper::stroke_of(place) == damper::Stroke::compression ? 1.0 : -1.0;
    const damper::SteadyPoint point = damper::steady_point(model, sign * speed, travel);
    return damper::at_piston(place) ? point.piston.p_eff : point.base->p_eff;
}

} // namespace

TEST_CASE("a chamber that is empty at any speed above rest is so from the first movement",
          "[damper][onset]") {
    // A check that opens only above the reservoir's pressure, and no bleed.
    damper::SetUp setup = tight_fork();
    setup.reservoir.friction = 0.0;
    const Model model(setup, with_law(samples::bending_laws(setup), Place::base_refill, samples::stuck()));
    OnsetSearch search(model, travel, top_speed);
    const Onset found = search.voids(Chamber::C);
    CHECK(found.kind == Onset::Kind::from_first_movement);
    CHECK(found.speed == 0.0);
    CHECK(found.from() == 0.0);
    CHECK(damper::steady_point(model, -1e-9, travel).cavitated == Chamber::C);

    const damper::VoidOnset onset = damper::find_void_onset(model, travel, top_speed);
    CHECK(onset.rebound == 0.0);
    CHECK_FALSE(onset.error());

    // The least leak past it, and the onset is a speed, however small.
    setup.valves[Place::base_refill]->bleed = flow::Notch{1e-9};
    const Model leaking(setup, with_law(samples::bending_laws(setup), Place::base_refill, samples::stuck()));
    OnsetSearch again(leaking, travel, top_speed);
    const Onset slow = again.voids(Chamber::C);
    REQUIRE(slow.kind == Onset::Kind::from_speed);
    CHECK(slow.speed > OnsetSearch::slowest);
    CHECK(slow.speed < 1e-3);
    CHECK(damper::steady_point(leaking, -slow.speed, travel).cavitated == Chamber::C);
    CHECK_FALSE(damper::steady_point(leaking, -(slow.speed - 1e-11), travel).cavitated);
}

TEST_CASE("where nothing ever happens the search ends at the top speed", "[damper][onset]") {
    const damper::SetUp setup = samples::shock(); // C and S are one chamber
    const Model model(setup, samples::bending_laws(setup));
    OnsetSearch search(model, 0.05, 1.5);
    const Onset none = search.voids(Chamber::C);
    CHECK(none.kind == Onset::Kind::none);
    CHECK(none.speed == 1.5);
    CHECK_FALSE(none.from());
    CHECK(search.voids(Chamber::S).kind == Onset::Kind::none);
    CHECK(search.pressure_above(Place::piston_rebound, 1e9).kind == Onset::Kind::none);
    CHECK(search.ports_lead(Place::base_compression).kind == Onset::Kind::none); // there is none
    CHECK_THROWS_AS(OnsetSearch(model, 0.05, 0.0), std::invalid_argument);
}

TEST_CASE("the balance margin passes zero at its onset", "[damper][onset]") {
    // The base soft, the mid-valve with a bleed: in front at first, behind when both are open.
    damper::SetUp setup = tight_fork();
    setup.valves[Place::piston_compression]->bleed = flow::Hole{.diameter = 2e-3, .count = 1};
    const Model model(setup, samples::bending_laws(setup));
    OnsetSearch search(model, travel, top_speed);
    const Onset found = search.margin_below_zero();
    REQUIRE(found.kind == Onset::Kind::from_speed);
    const auto margin = [&](double speed) {
        return damper::steady_point(model, speed, travel).balance_margin.value();
    };
    CHECK(margin(found.speed) < 0.0);
    CHECK(margin(found.speed * (1.0 - 1e-9)) >= 0.0);
    CHECK_THAT(margin(found.speed), WithinAbs(0.0, 1.0)); // continuous
    for (int i = 1; i < 500; ++i)
        REQUIRE(margin(found.speed * i / 500.0) >= 0.0);

    // Nothing but the mid-valve: behind from the first movement.
    const damper::SetUp shock = samples::shock();
    const Model alone(shock, samples::bending_laws(shock));
    OnsetSearch of_shock(alone, 0.05, top_speed);
    CHECK(of_shock.margin_below_zero().kind == Onset::Kind::from_first_movement);
}

TEST_CASE("a balance margin that is lost by less than a tenth of a bar is not told", "[damper][onset]") {
    // Ports alone: the margin is below zero from the first movement, with the square of the speed.
    damper::SetUp setup = tight_fork();
    for (auto& valve : setup.valves.at_place)
        valve->discharge.port_transition = valve->discharge.curtain_transition = 1e-3; // turbulent throughout
    const Model model(setup, samples::laws_of(setup, samples::wide_open()));
    const double at_1 = damper::steady_point(model, 1.0, travel).balance_margin.value();
    REQUIRE(at_1 < 0.0);
    const double tenth = std::sqrt(0.1e5 / -at_1); // speed at which it is lost by so much [m/s]
    OnsetSearch below(model, travel, 0.99 * tenth);
    CHECK(below.margin_below_zero().kind == Onset::Kind::none);
    OnsetSearch beyond(model, travel, 1.01 * tenth);
    CHECK(beyond.margin_below_zero().kind == Onset::Kind::from_first_movement);
}

TEST_CASE("a pressure on a face shim is passed at its onset, whatever speeds are asked", "[damper][onset]") {
    const damper::SetUp setup = samples::fork();
    const Model model(setup, samples::bending_laws(setup));
    OnsetSearch search(model, travel, top_speed);
    for (const Place place : damper::all_places) {
        const double limit = pressure_on(model, place, 0.7317);
        const Onset found = search.pressure_above(place, limit);
        CAPTURE(damper::name(place));
        REQUIRE(found.kind == Onset::Kind::from_speed);
        CHECK_THAT(found.speed, WithinRel(0.7317, 1e-9)); // the pressure that steady_point gives
        CHECK(pressure_on(model, place, found.speed * (1.0 + 1e-9)) > limit);
    }
    CHECK(search.pressure_above(Place::piston_rebound, -1.0).kind == Onset::Kind::from_first_movement);
}

TEST_CASE("the onsets of one damper do not depend on the top speed, but for none", "[damper][onset]") {
    const damper::SetUp setup = samples::fork();
    const Model model(setup, samples::bending_laws(setup));
    const double limit = pressure_on(model, Place::piston_rebound, 1.3);
    for (const double top : {1.31, 2.0, 3.7, 9.0}) {
        OnsetSearch search(model, travel, top);
        CHECK_THAT(search.pressure_above(Place::piston_rebound, limit).speed, WithinRel(1.3, 1e-9));
    }
    OnsetSearch below(model, travel, 1.29);
    CHECK(below.pressure_above(Place::piston_rebound, limit).kind == Onset::Kind::none);
}

TEST_CASE("a lift curve ends at a speed, and what rests on it is not known beyond", "[damper][onset]") {
    const damper::SetUp setup = tight_fork();
    const Model model(setup, with_law(samples::bending_laws(setup), Place::piston_rebound, short_law()));
    OnsetSearch search(model, travel, top_speed);
    const Onset end = search.beyond_curve(Place::piston_rebound);
    REQUIRE(end.kind == Onset::Kind::from_speed);
    const flow::LinkState last = model.piston().end(flow::Direction::backward);
    CHECK_THAT(end.speed, WithinRel(-last.flow / model.annulus_area(), 1e-10));
    CHECK_NOTHROW(damper::steady_point(model, -end.speed * (1.0 - 1e-9), travel));
    CHECK_THROWS_AS(damper::steady_point(model, -end.speed * (1.0 + 1e-9), travel), SolveError);
    CHECK(search.beyond_curve(Place::base_compression).kind == Onset::Kind::none);

    // The pressure on its shims cannot be told further; one just below the end of the curve still can.
    const Onset above = search.pressure_above(Place::piston_rebound, 6e5);
    REQUIRE(above.kind == Onset::Kind::ended);
    CHECK_THAT(above.speed, WithinRel(end.speed, 1e-10));
    CHECK_THAT(above.why, contains_text("mm travel: piston.rebound") && contains_text("beyond the end"));
    const Onset near = search.pressure_above(Place::piston_rebound, 5e5 * (1.0 - 1e-7));
    CHECK(near.kind == Onset::Kind::from_speed);
    CHECK(near.speed < end.speed);

    // Behind the piston the void does not depend on the piston.
    CHECK(search.voids(Chamber::C).kind == Onset::Kind::none);
}

TEST_CASE("a void behind the piston is found though the piston's lift curve ends before", "[damper][onset]") {
    damper::SetUp setup = tight_fork();
    setup.valves[Place::base_refill]->bleed = flow::Hole{.diameter = 4e-3, .count = 1};
    const damper::LiftLaws laws =
        with_law(samples::bending_laws(setup), Place::base_refill, samples::stuck());
    const Model model(setup, with_law(laws, Place::piston_rebound, short_law()));
    OnsetSearch search(model, travel, top_speed);
    const Onset end = search.beyond_curve(Place::piston_rebound);
    const Onset empty = search.voids(Chamber::C);
    REQUIRE(end.kind == Onset::Kind::from_speed);
    REQUIRE(empty.kind == Onset::Kind::from_speed);
    CHECK(empty.speed > end.speed);
}

TEST_CASE("a search says from where nothing can be known, and why", "[damper][onset]") {
    damper::SetUp setup = tight_fork();
    setup.reservoir.preload = 0.0;
    setup.reservoir.spring_rate = 0.0;
    setup.reservoir.friction = 200.0; // the reservoir's piston pulls S below the cavitation pressure
    const Model model(setup, samples::bending_laws(setup));
    OnsetSearch search(model, travel, top_speed);
    const Onset ended = search.voids(Chamber::C);
    CHECK(ended.kind == Onset::Kind::ended);
    CHECK(ended.speed == 0.0);
    CHECK_THAT(ended.why, contains_text("the reservoir itself falls to"));
    CHECK(search.voids(Chamber::R).kind != Onset::Kind::ended);
    const damper::VoidOnset onset = damper::find_void_onset(search);
    CHECK(onset.error() == ended.why);
    REQUIRE(onset.rebound_end);
    CHECK(onset.rebound_end->speed == 0.0);
    CHECK_FALSE(onset.compression_end);
}

TEST_CASE("a curve laid on a search is that of its own, and shares the scan", "[damper][onset]") {
    const damper::SetUp setup = samples::fork();
    const Model model(setup, samples::bending_laws(setup));
    OnsetSearch search(model, travel, top_speed);
    const damper::Curve shared = damper::steady_curve(search, {-1.0, 1.0});
    const damper::Curve own = damper::steady_curve(model, {.speeds = {-1.0, 1.0}, .travel = travel});
    REQUIRE(shared.points.size() == own.points.size());
    CHECK(shared.travel == own.travel);
    CHECK(shared.points[0].force == own.points[0].force);
    CHECK(shared.points[1].force == own.points[1].force);
    CHECK(shared.void_onset.rebound == own.void_onset.rebound);
    CHECK(shared.void_onset_near_extension.compression == own.void_onset_near_extension.compression);
}
