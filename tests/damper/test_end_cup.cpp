#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/core/findings.hpp>
#include <valve/damper/end_cup.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/damper/steady.hpp>

#include <cmath>
#include <numbers>

using namespace valve;
using damper::EndCup;
using damper::EndCupLaw;
using damper::Model;
using damper::SteadyPoint;

namespace {

/// Tapered, without hole.
EndCup cup() {
    return {.plug = 16e-3, .length = 20e-3, .gap = 0.2e-3, .entry_gap = 0.6e-3};
}

damper::SetUp cupped_fork() {
    damper::SetUp setup = samples::fork();
    setup.reservoir.preload = 400.0;
    setup.cartridge.end_of_stroke = cup();
    setup.cartridge.top_out = cup();
    setup.cartridge.top_out->length = 12e-3;
    return setup;
}

SteadyPoint at(const damper::SetUp& setup, double speed, double travel) {
    return damper::steady_point(Model(setup, samples::bending_laws(setup)), speed, travel);
}

bool refused(const damper::SetUp& setup, const std::string& key) {
    const Findings findings = damper::check(setup);
    const Finding* fault = first_error(findings);
    return fault != nullptr && fault->key == key;
}

} // namespace

TEST_CASE("a slow plug is held by the viscosity of its gap, a fast one by the jet out of it",
          "[damper][cup]") {
    const EndCupLaw law(cup(), 0.0, samples::oil_state());
    const double depth = 20e-3;
    const double slow = law.pressure(depth, 1e-6);
    CHECK_THAT(law.pressure(depth, 2e-6), WithinRel(2.0 * slow, 1e-5));
    EndCup thin = cup();
    thin.length = 1e-9; // no length to rub along
    const EndCupLaw edge(thin, 0.0, samples::oil_state());
    CHECK_THAT(edge.pressure(1e-9, 2.0), WithinRel(4.0 * edge.pressure(1e-9, 1.0), 1e-4));
}

TEST_CASE("a plug's pressure rises without a step over the travel and with speed", "[damper][cup]") {
    EndCup holed = cup();
    holed.hole = 1.5e-3;
    for (const EndCup& shape : {cup(), holed}) {
        const EndCupLaw law(shape, 12e-3, samples::oil_state());
        // Free of the cup where the slot is a quarter of its bore of 16.4 mm.
        CHECK(law.pressure(-4.1e-3, 4.0) == 0.0);
        CHECK(law.pressure(-4.0e-3, 4.0) > 0.0);
        double before = 0.0;
        for (int i = -41; i <= 200; ++i) {
            CAPTURE(i);
            const double pressure = law.pressure(i * 0.1e-3, 1.0);
            REQUIRE(pressure >= before);
            // A tenth of a millimetre is worth no more than a sixth of what the next turn of the gap brings.
            if (i > -5) REQUIRE(pressure - before < 0.06 * law.pressure(20e-3, 1.0));
            before = pressure;
        }
        CHECK_THAT(law.pressure(1e-12, 1.0), WithinRel(law.pressure(-1e-12, 1.0), 1e-6)); // at entry
        CHECK(law.pressure(10e-3, 2.0) > law.pressure(10e-3, 1.0));
        CHECK(law.pressure(10e-3, 0.0) == 0.0);
    }
    CHECK(EndCupLaw(holed, 0.0, samples::oil_state()).pressure(10e-3, 1.0) <
          EndCupLaw(cup(), 0.0, samples::oil_state()).pressure(10e-3, 1.0));
}

TEST_CASE("a plug that only just narrows the mouth is held by next to nothing", "[damper][cup]") {
    for (int size = 0; size < 100; ++size) {
        CAPTURE(size);
        EndCup shape = cup();
        shape.plug = (14.0 + 0.1 * size) * 1e-3;
        const EndCupLaw law(shape, 12e-3, samples::oil_state());
        double free = -10e-3;
        double narrowed = 0.0;
        REQUIRE_FALSE(law.acts(free));
        for (int i = 0; i < 100; ++i) { // to the last digit
            const double middle = 0.5 * (free + narrowed);
            (law.acts(middle) ? narrowed : free) = middle;
        }
        for (int i = 0; i < 20; ++i) {
            CHECK(law.pressure(narrowed, 2.5) < 1e-3);
            narrowed = std::nextafter(narrowed, 0.0);
        }
    }
}

TEST_CASE("the force of a plug is its section times its pressure, against the motion", "[damper][cup]") {
    const damper::SetUp setup = cupped_fork();
    const Model model(setup, samples::bending_laws(setup));
    damper::SetUp bare = setup;
    bare.cartridge.end_of_stroke.reset();
    bare.cartridge.top_out.reset();
    for (const double speed : {-0.5, 0.5}) {
        for (const double travel : {0.005, 0.15, 0.29}) {
            CAPTURE(speed, travel);
            const SteadyPoint with = damper::steady_point(model, speed, travel);
            const SteadyPoint without = at(bare, speed, travel);
            CHECK_FALSE(without.end_force);
            REQUIRE(with.end_force);
            CHECK_THAT(with.force - without.force, WithinAbs(*with.end_force, 1e-9));
            CHECK(with.damping_force == with.force - with.static_force);
            CHECK(with.p_C == without.p_C); // the oil of the cup ends up in the chamber around it
            if (travel == 0.15) {
                CHECK(*with.end_force == 0.0);
                CHECK(*with.end_pressure == 0.0);
            } else {
                CHECK(*with.end_force * speed > 0.0);
            }
        }
    }
    const SteadyPoint in = at(setup, 0.5, 0.29);
    const double section = damper::circle_area(16.4e-3 - 2.0 * 0.4e-3); // half way in, where 0.4 mm are left
    CHECK_THAT(*in.end_force, WithinRel(*in.end_pressure * section, 1e-12));
    const SteadyPoint out = at(setup, -0.5, 0.0);
    CHECK_THAT(*out.end_force,
               WithinRel(-*out.end_pressure * (damper::circle_area(16e-3) - model.rod_area()), 1e-12));
}

TEST_CASE("a plug that leaves its cup sucks no harder than a void, or not at all", "[damper][cup]") {
    damper::SetUp setup = cupped_fork();
    setup.cartridge.end_of_stroke->gap = 0.01e-3;
    const SteadyPoint leaving = at(setup, -1.0, 0.3);
    CHECK(*leaving.end_pressure == -leaving.headroom_C);
    CHECK(leaving.is_cup_empty);
    CHECK(*leaving.end_force < 0.0);
    setup.cartridge.end_of_stroke->ways = flow::BleedWays::one;
    CHECK(*at(setup, -1.0, 0.3).end_force == 0.0);
    CHECK_FALSE(at(setup, -1.0, 0.3).is_cup_empty);
    CHECK_FALSE(at(cupped_fork(), -1e-3, 0.3).is_cup_empty); // slowly, the gap lets the oil back in
    CHECK_FALSE(at(cupped_fork(), 1.0, 0.3).is_cup_empty);
    CHECK_FALSE(at(cupped_fork(), -1.0, 0.15).is_cup_empty);
    CHECK(at(setup, 1.0, 0.28).end_force > 0.0);
}

TEST_CASE("a cup without a way out is refused, before solving or at the travel where it closes",
          "[damper][cup]") {
    damper::SetUp setup = cupped_fork();
    setup.cartridge.end_of_stroke->gap = 0.0;
    CHECK(refused(setup, "damper.end_of_stroke.gap"));
    setup.cartridge.end_of_stroke->hole = 2e-3;
    CHECK(first_error(damper::check(setup)) == nullptr);
    // All of the oil through the hole: a turbulent orifice at 1 m/s.
    const Model model(setup, samples::bending_laws(setup));
    const double through = damper::circle_area(16e-3) * 1.0 / (0.7 * damper::circle_area(2e-3));
    CHECK_THAT(*damper::steady_point(model, 1.0, 0.3).end_pressure,
               WithinRel(0.5 * model.oil().density * through * through, 1e-6));

    setup.cartridge.end_of_stroke->hole.reset();
    setup.cartridge.end_of_stroke->gap = 1e-6;
    CHECK_THROWS_WITH(at(setup, 1.0, 0.3),
                      contains_text("at 1 m/s and 300 mm travel: the cup at an end of the "
                                    "stroke would hold more than 1000 bar"));
}

TEST_CASE("cups that cannot be are refused", "[damper][cup]") {
    const auto with = [](const auto& change) {
        damper::SetUp setup = cupped_fork();
        change(setup.cartridge);
        return setup;
    };
    using damper::Cartridge;
    CHECK(first_error(damper::check(cupped_fork())) == nullptr);
    CHECK(refused(with([](Cartridge& c) { c.end_of_stroke->plug = 24.7e-3; }), "damper.end_of_stroke.plug"));
    CHECK(refused(with([](Cartridge& c) { c.top_out->plug = 12e-3; }), "damper.top_out.plug"));
    CHECK(refused(with([](Cartridge& c) { c.end_of_stroke->length = 0.31; }), "damper.end_of_stroke.length"));
    CHECK(refused(with([](Cartridge& c) { c.end_of_stroke->length = 0.29; }), "damper.top_out.length"));
    CHECK(refused(with([](Cartridge& c) { c.end_of_stroke->entry_gap = 0.1e-3; }),
                  "damper.end_of_stroke.entry_gap"));
    CHECK(refused(with([](Cartridge& c) { c.end_of_stroke->gap = c.end_of_stroke->entry_gap = 1e-3; }),
                  "damper.end_of_stroke.gap"));
}

TEST_CASE("the jet of a tapered plug leaves through the slot at the mouth", "[damper][cup]") {
    // 0.6 mm at the tip, 0.2 mm at the thick end of a plug of 16 mm: all the way in, the slot at the mouth is
    // 0.2 mm wide and 16.2 mm across, whatever the gap is further in. So short a plug has no length to rub
    // along.
    EndCup thin = cup();
    thin.length = 1e-9;
    const flow::OilState oil = samples::oil_state();
    const double bore = 16.4e-3;
    const double slot = std::numbers::pi * 16.2e-3 * thin.discharge;
    const double displaced = damper::circle_area(16e-3) * 1.0;
    const double widths = 1.0 / (0.2e-3 * 0.2e-3) - 16.0 / (bore * bore);
    CHECK_THAT(EndCupLaw(thin, 0.0, oil).pressure(thin.length, 1.0),
               WithinRel(0.5 * oil.density * std::pow(displaced / slot, 2) * widths, 1e-4));
}
