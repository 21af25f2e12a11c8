#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/core/error.hpp>
#include <valve/damper/sag.hpp>

#include <cmath>
#include <numbers>

using namespace valve;
using damper::AtEnd;
using damper::SupportLaw;

namespace {

/// A coil alone: the rod is so thin that its reservoir's push is below a thousandth of a newton.
damper::SetUp coil_alone() {
    damper::SetUp setup = samples::fork();
    setup.cartridge.rod = 1e-5;
    setup.support->leg.reset();
    setup.support->spring = damper::MainSpring{.rate = 5000.0, .preload = 10e-3};
    setup.support->friction = 20.0;
    setup.support->breakaway = 30.0;
    return setup;
}

constexpr double thin_rod = 1e-6; // its part of the force and rate, by its area

/// Under `weight` [N] straight on the coil.
damper::Sag sag_under(const SupportLaw& law, double weight) {
    return sag(law, {.sprung_mass = weight / 9.80665, .motion_ratio = 1.0}, false);
}

} // namespace

TEST_CASE("weight along a raked fork and through a linkage, by virtual work", "[damper][sag]") {
    damper::Load load{.sprung_mass = 60.0, .rider_mass = 90.0, .rider_share = 0.4};
    CHECK_THROWS_AS(force_of(load, true, 0.0), InputError);
    load.rake = std::numbers::pi / 6.0;
    CHECK_THAT(force_of(load, true, 0.1), WithinRel(96.0 * 9.80665 * std::sqrt(0.75), 1e-14));
    CHECK_THAT(force_of(load, false, 0.1), WithinRel(60.0 * 9.80665 * std::sqrt(0.75), 1e-14));
    load.rake.reset();
    load.motion_ratio = 0.4;
    CHECK_THAT(force_of(load, true, 0.1), WithinRel(96.0 * 9.80665 / 0.4, 1e-14));
}

TEST_CASE("a coil sags by weight over rate less preload, and breakaway leaves a range", "[damper][sag]") {
    const SupportLaw law(coil_alone());
    const damper::Sag found = sag_under(law, 400.0);
    CHECK_THAT(found.rest.travel, WithinRel(400.0 / 5000.0 - 10e-3, thin_rod));
    CHECK_THAT(found.least.travel, WithinRel(370.0 / 5000.0 - 10e-3, thin_rod));
    CHECK_THAT(found.most.travel, WithinRel(430.0 / 5000.0 - 10e-3, thin_rod));
    CHECK(found.rest.at_end == AtEnd::no);
}

TEST_CASE("weight that does not reach the preload, or all travel, is told as such", "[damper][sag]") {
    const SupportLaw law(coil_alone());
    CHECK(sag_under(law, 40.0).rest.at_end == AtEnd::extended);
    CHECK(sag_under(law, 40.0).rest.travel == 0.0);
    CHECK(sag_under(law, 40.0).most.at_end == AtEnd::no); // 70 N passes the 50 N of preload
    CHECK(sag_under(law, 5000.0).rest.at_end == AtEnd::compressed);
    CHECK(sag_under(law, 5000.0).rest.travel == 0.3);
}

TEST_CASE("an energy uses the travel over which springs and friction take it", "[damper][sag]") {
    const damper::SetUp setup = coil_alone();
    // k x²/2 + (k x_0 + F_f) x = E
    const auto closed_form = [](double friction, double energy) {
        const double b = 50.0 + friction;
        return (std::sqrt(b * b + 2.0 * 5000.0 * energy) - b) / 5000.0;
    };
    for (const double friction : {0.0, 20.0, 60.0}) {
        CHECK_THAT(travel_used(SupportLaw(setup), 100.0, friction).travel,
                   WithinRel(closed_form(friction, 100.0), thin_rod));
    }
    CHECK(travel_used(SupportLaw(setup), 0.0, 60.0).travel == 0.0);
    CHECK(travel_used(SupportLaw(setup), 1e4, 60.0).at_end == AtEnd::compressed);
}

TEST_CASE("the ride frequency is that of mass and wheel rate", "[damper][sag]") {
    damper::SetUp setup = coil_alone();
    damper::Load load{.sprung_mass = 30.0, .rider_mass = 50.0, .rider_share = 0.4, .motion_ratio = 0.5};
    // 5000 N/m at the shock are 1250 N/m at the wheel, under 50 kg.
    CHECK_THAT(ride_frequency(SupportLaw(setup), load).value(),
               WithinRel(std::sqrt(1250.0 / 50.0) / (2.0 * std::numbers::pi), thin_rod));
    load.motion_ratio.reset();
    load.rake = std::numbers::pi / 6.0;
    CHECK_THAT(ride_frequency(SupportLaw(setup), load).value(),
               WithinRel(std::sqrt(5000.0 / 0.75 / 50.0) / (2.0 * std::numbers::pi), thin_rod));
    load.sprung_mass = 1000.0; // rests on the end of its travel
    CHECK_FALSE(ride_frequency(SupportLaw(setup), load));
}

// Common practice, no source: a bladder in place of a spring-backed piston breaks away more easily, moves
// more freely in the first 30 mm, and the same hit uses more travel.
TEST_CASE("less friction in the reservoir: easier to start, more travel used", "[damper][sag]") {
    damper::SetUp setup = samples::fork();
    setup.support->spring = damper::MainSpring{.rate = 4800.0, .preload = 6e-3};
    setup.support->friction = setup.support->breakaway = 25.0;
    const SupportLaw piston(setup);
    // Its pressure begins where that of the piston's spring does.
    setup.reservoir = {
        .kind = damper::ReservoirKind::bladder, .gas_volume = 120e-6, .gas_pressure = piston.at(0.0).p_S};
    const SupportLaw bladder(setup);

    CHECK_THAT(bladder.at(0.0).force, WithinRel(piston.at(0.0).force, 1e-12));
    CHECK_THAT(piston.breakaway() - bladder.breakaway(), WithinRel(2.0, 1e-12)); // 18 N (12/36)²
    for (const double travel : {0.0, 0.01, 0.02, 0.03}) {
        const double force_in_piston = piston.at(travel).force + piston.friction();
        const double force_in_bladder = bladder.at(travel).force + bladder.friction();
        CHECK(force_in_bladder < force_in_piston);
    }
    const double hit = 0.7 * piston.at(0.3).energy;
    const auto used = [&](const SupportLaw& law) { return travel_used(law, hit, law.friction()).travel; };
    CHECK(used(bladder) > used(piston));
}
