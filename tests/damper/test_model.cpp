#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/damper/geometry.hpp>

#include <cmath>
#include <stdexcept>

using namespace valve;
using damper::Model;
using damper::Place;
using damper::RodInto;

TEST_CASE("areas of a model", "[damper][model]") {
    const damper::SetUp setup = samples::fork();
    const Model model(setup, samples::bending_laws(setup));
    CHECK_THAT(model.piston_area(), WithinRel(490.8738521e-6, 1e-9));
    CHECK_THAT(model.rod_area(), WithinRel(113.0973355e-6, 1e-9));
    CHECK(model.annulus_area() == model.piston_area() - model.rod_area());
}

TEST_CASE("bleeds of both valves and the ring leak are open in both directions", "[damper][model]") {
    damper::SetUp setup = samples::fork();
    const damper::LiftLaws stuck = samples::laws_of(setup, samples::stuck());
    const Model model(setup, stuck);
    const double dp = 1e5;
    const double compression = model.piston().at_drop(dp).flow;
    CHECK(compression > 0.0);
    CHECK(compression == -model.piston().at_drop(-dp).flow);
    REQUIRE(model.base());
    CHECK(model.base()->at_drop(dp).flow == -model.base()->at_drop(-dp).flow);

    setup.valves[Place::piston_compression]->bleed = flow::Hole{.diameter = 1e-3, .count = 1};
    const Model with_hole(setup, stuck);
    const flow::Restriction hole({damper::circle_area(1e-3), 1e-3}, 0.7, 500.0, model.oil());
    CHECK_THAT(-with_hole.piston().at_drop(-dp).flow,
               WithinRel(compression + hole.flow(dp).value, 1e-12)); // rounding

    setup.cartridge.ring_leak.reset();
    setup.valves[Place::piston_rebound]->bleed = samples::needle(0);
    const Model hole_alone(setup, stuck);
    CHECK_THAT(hole_alone.piston().at_drop(dp).flow, WithinRel(hole.flow(dp).value, 1e-14));
}

TEST_CASE("a bleed with its own check passes oil only the way its valve opens", "[damper][model]") {
    damper::SetUp setup = samples::fork();
    setup.cartridge.ring_leak.reset();
    const damper::LiftLaws stuck = samples::laws_of(setup, samples::stuck());
    const double open = Model(setup, stuck).piston().at_drop(-1e5).flow;
    setup.valves[Place::piston_rebound]->bleed_ways = flow::BleedWays::one;
    const Model checked(setup, stuck);
    CHECK(open < 0.0);
    CHECK(checked.piston().at_drop(-1e5).flow == open);
    const flow::LinkState shut = checked.piston().at_drop(1e5);
    CHECK(shut.flow == 0.0);
    CHECK(shut.is_closed);
}

TEST_CASE("other clicks and other oil need no other lift laws", "[damper][model]") {
    damper::SetUp setup = samples::fork();
    const damper::LiftLaws laws = samples::bending_laws(setup);
    const double before = -Model(setup, laws).piston().at_drop(-2e5).flow;
    setup.valves[Place::piston_rebound]->bleed = samples::needle(20);
    const double opened = -Model(setup, laws).piston().at_drop(-2e5).flow;
    setup.oil.temperature = 253.15;
    const double cold = -Model(setup, laws).piston().at_drop(-2e5).flow;
    CHECK(opened > before);
    CHECK(cold < opened);
}

TEST_CASE("without base valves C and S are one", "[damper][model]") {
    const damper::SetUp setup = samples::shock();
    const Model model(setup, samples::bending_laws(setup));
    CHECK(model.base() == nullptr);
}

TEST_CASE("what the rod leaves into", "[damper][model]") {
    damper::SetUp setup = samples::fork();
    const damper::LiftLaws laws = samples::bending_laws(setup);
    const Model closed(setup, laws);
    CHECK(closed.external_pressure(0.2, RodInto::atmosphere) == p_atm);
    const double swept = (damper::circle_area(50e-3) - damper::circle_area(12e-3)) * 0.2;
    CHECK_THAT(closed.external_pressure(0.2, RodInto::leg),
               WithinRel(p_atm * std::pow(685e-6 / (685e-6 - swept), 1.3), 1e-14));

    setup.cartridge.layout = damper::Layout::open_cartridge;
    setup.reservoir = {.kind = damper::ReservoirKind::leg};
    const Model open(setup, laws);
    CHECK(open.external_pressure(0.2, RodInto::atmosphere) == open.reservoir().pressure(0.2, 0.0));
    CHECK_THROWS_AS(open.external_pressure(0.2, RodInto::leg), InputError);

    damper::SetUp alone = samples::fork();
    alone.support.reset();
    CHECK_THROWS_WITH(Model(alone, laws).external_pressure(0.2, RodInto::leg), contains_text("support.leg"));
}

TEST_CASE("the work against what the rod leaves into is the integral of its pressure", "[damper][model]") {
    damper::SetUp setup = samples::fork();
    const damper::LiftLaws laws = samples::bending_laws(setup);
    const auto check = [](const Model& model, RodInto rod_into) {
        constexpr double from = 0.01;
        constexpr double to = 0.29;
        constexpr int halves = 2000; // Simpson's rule: errors of the fourth power of a step
        const double step = (to - from) / halves;
        double sum = 0.0;
        for (int k = 0; k <= halves; ++k) {
            const double weight = k == 0 || k == halves ? 1.0 : k % 2 == 0 ? 2.0 : 4.0;
            sum += weight * model.external_pressure(from + k * step, rod_into);
        }
        CHECK_THAT(model.external_work(to, rod_into) - model.external_work(from, rod_into),
                   WithinRel(sum * step / 3.0, 1e-8));
    };
    const Model closed(setup, laws);
    check(closed, RodInto::atmosphere);
    check(closed, RodInto::leg);
    setup.cartridge.layout = damper::Layout::open_cartridge;
    setup.reservoir = {.kind = damper::ReservoirKind::leg};
    const Model open(setup, laws);
    check(open, RodInto::atmosphere);
    CHECK_THROWS_AS(open.external_work(0.2, RodInto::leg), InputError);
}

TEST_CASE("a set-up with an error makes no model", "[damper][model]") {
    damper::SetUp setup = samples::fork();
    const damper::LiftLaws laws = samples::bending_laws(setup);
    damper::LiftLaws lacking = laws;
    lacking.at_place[0].reset();
    CHECK_THROWS_AS(Model(setup, lacking), std::invalid_argument);
    setup.cartridge.rod = 30e-3;
    CHECK_THROWS_AS(Model(setup, laws), InputError);
    CHECK_THROWS_WITH(Model(setup, laws), contains_text("damper.rod: the rod, 30 mm, must be thinner"));
}
