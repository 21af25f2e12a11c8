#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/damper/reservoir.hpp>

#include <cmath>
#include <stdexcept>

using namespace valve;
using damper::ReservoirKind;
using damper::ReservoirLaw;

namespace {

constexpr double rounding = 1e-14;

} // namespace

TEST_CASE("a spring-backed piston answers with its spring", "[damper][reservoir]") {
    const damper::SetUp setup = samples::fork();
    const ReservoirLaw law(setup);
    const double area = damper::circle_area(36e-3);
    CHECK_THAT(law.pressure(0.0, 0.0), WithinRel(p_atm + 40.0 / area, rounding));
    CHECK_THAT(law.pressure(0.15, 20e-6), WithinRel(p_atm + (40.0 + 1800.0 * 20e-6 / area) / area, rounding));
    CHECK_THAT(law.friction_pressure(), WithinRel(18.0 / area, rounding));

    const double full = 45e-3 * area;
    CHECK_NOTHROW(law.pressure(0.3, 0.999 * full));
    CHECK_THROWS_AS(law.pressure(0.3, 1.001 * full), SolveError);
    CHECK_THROWS_WITH(law.pressure(0.0, -1e-6), contains_text("end stop") && contains_text("1 ml"));
}

TEST_CASE("a reservoir that is full says at which travel", "[damper][reservoir]") {
    damper::SetUp setup = samples::fork();
    setup.reservoir.stroke = 30e-3;
    const double travel = 30e-3 * 36.0 * 36.0 / (12.0 * 12.0);
    CHECK_THAT(damper::reservoir_travel_limit(setup), WithinRel(travel, rounding));
    CHECK_THROWS_WITH(ReservoirLaw(setup).pressure(0.3, 31e-6), contains_text("full at 270 mm"));
    setup.reservoir.capacity = 10e-6;
    CHECK_THAT(damper::reservoir_travel_limit(setup),
               WithinRel(10e-6 / damper::circle_area(12e-3), rounding));
}

TEST_CASE("gas answers with its exponent and only a piston rubs", "[damper][reservoir]") {
    damper::SetUp setup = samples::shock();
    for (const double exponent : {1.0, 1.4}) {
        setup.reservoir.exponent = exponent;
        setup.reservoir.kind = ReservoirKind::gas_piston;
        const ReservoirLaw piston(setup);
        setup.reservoir.kind = ReservoirKind::bladder;
        const ReservoirLaw bladder(setup);
        CHECK_THAT(piston.pressure(0.0, 20e-6), WithinRel(11e5 * std::pow(1.5, exponent), rounding));
        CHECK(bladder.pressure(0.0, 20e-6) == piston.pressure(0.0, 20e-6));
        CHECK(bladder.pressure(0.0, 0.0) == 11e5);
        CHECK(bladder.pressure(0.0, -1e-6) < 11e5);
        CHECK(piston.friction_pressure() > 0.0);
        CHECK(bladder.friction_pressure() == 0.0);
        CHECK_THROWS_AS(bladder.pressure(0.0, 60e-6), SolveError);
    }
}

TEST_CASE("the leg's air is swept by the leg, not the rod", "[damper][reservoir]") {
    damper::SetUp setup = samples::fork();
    setup.cartridge.layout = damper::Layout::open_cartridge;
    setup.reservoir = {.kind = ReservoirKind::leg};
    const ReservoirLaw law(setup);
    const double swept = damper::circle_area(50e-3) * 0.2;
    CHECK_THAT(law.pressure(0.2, 1.0), WithinRel(p_atm * std::pow(685e-6 / (685e-6 - swept), 1.3), rounding));
    CHECK_THAT(damper::reservoir_travel_limit(setup),
               WithinRel(685e-6 / damper::circle_area(50e-3), rounding));
    CHECK_THROWS_AS(law.stiffness(0.0), std::invalid_argument); // V_S says nothing about the leg's air
    CHECK_THROWS_AS(law.work(0.0), std::invalid_argument);
    setup.support.reset();
    CHECK_THROWS_AS(ReservoirLaw(setup), std::invalid_argument);
}
