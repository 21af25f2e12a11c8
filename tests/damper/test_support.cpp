#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/damper/steady.hpp>
#include <valve/damper/support.hpp>

#include <cmath>
#include <vector>

using namespace valve;
using damper::circle_area;
using damper::SupportLaw;
using damper::SupportPoint;

namespace {

constexpr double rounding = 1e-12;

/// One leg of the sample fork with every part there is, two rates and a stop.
damper::SetUp whole_fork() {
    damper::SetUp setup = samples::fork();
    damper::Support& support = *setup.support;
    support.spring = damper::MainSpring{
        .rate = 4800.0, .preload = 6e-3, .second = damper::SecondRate{.rate = 7000.0, .from = 0.18}};
    support.top_out = damper::EndSpring{.rate = 30e3, .length = 15e-3};
    support.stop = damper::EndSpring{.rate = 200e3, .length = 10e-3};
    support.friction = 25.0;
    support.breakaway = 35.0;
    return setup;
}

/// ∫ F dx between kinks by Simpson's rule, whose error here is below 1e-9 of the sum.
double work(const SupportLaw& law, const std::vector<double>& kinks) {
    constexpr int pieces = 400;
    double sum = 0.0;
    for (std::size_t i = 1; i < kinks.size(); ++i) {
        const double step = (kinks[i] - kinks[i - 1]) / pieces;
        for (int k = 0; k < pieces; ++k) {
            const double x = kinks[i - 1] + k * step;
            const double end = k + 1 == pieces ? kinks[i] : x + step;
            sum += step / 6.0 * (law.at(x).force + 4.0 * law.at(x + 0.5 * step).force + law.at(end).force);
        }
    }
    return sum;
}

} // namespace

TEST_CASE("a monotube's gas pushes its rod out", "[damper][support]") {
    damper::SetUp setup = samples::shock();
    setup.support = damper::Support{};
    setup.support->spring = damper::MainSpring{.rate = 80e3, .preload = 10e-3};
    const double rod = circle_area(16e-3);
    for (const double n : {1.0, 1.4}) { // isothermal, adiabatic
        setup.reservoir.exponent = n;
        for (const double x : {0.0, 0.04, 0.1}) {
            const SupportPoint point = SupportLaw(setup).at(x);
            const double left = 60e-6 - rod * x;
            CHECK_THAT(point.reservoir,
                       WithinRel(rod * (11e5 * std::pow(60e-6 / left, n) - p_atm), rounding));
            CHECK_THAT(point.spring, WithinRel(80e3 * (10e-3 + x), rounding));
            CHECK(point.gas == 0.0);
            CHECK_FALSE(point.p_leg);
            CHECK_THAT(point.force, WithinRel(point.reservoir + point.spring, rounding));
        }
    }
}

TEST_CASE("each part of a fork's force follows its closed form", "[damper][support]") {
    const SupportLaw law(whole_fork());
    const double leg = circle_area(50e-3);
    const double rod = circle_area(12e-3);
    const double piston = circle_area(36e-3);
    for (const double x : {0.0, 5e-3, 0.1, 0.2, 0.295, 0.3}) {
        const SupportPoint point = law.at(x);
        const double p_leg = p_atm * std::pow(685e-6 / (685e-6 - (leg - rod) * x), 1.3);
        const double p_S = p_atm + (40.0 + 1800.0 * rod * x / piston) / piston;
        CHECK_THAT(*point.p_leg, WithinRel(p_leg, rounding));
        CHECK_THAT(point.p_S, WithinRel(p_S, rounding));
        CHECK_THAT(point.gas, WithinAbs((p_leg - p_atm) * leg, 1e-9));
        CHECK_THAT(point.reservoir, WithinAbs(rod * (p_S - p_leg), 1e-9));
        CHECK_THAT(point.spring,
                   WithinRel(4800.0 * (6e-3 + x) + (x > 0.18 ? 2200.0 * (x - 0.18) : 0.0), rounding));
        CHECK_THAT(point.top_out, WithinAbs(x < 15e-3 ? -30e3 * (15e-3 - x) : 0.0, 1e-9));
        CHECK_THAT(point.stop, WithinAbs(x > 0.29 ? 200e3 * (x - 0.29) : 0.0, 1e-9));
        CHECK_THAT(
            point.force,
            WithinRel(point.spring + point.gas + point.reservoir + point.top_out + point.stop, rounding));
    }
}

TEST_CASE("the force is what the stored energies ask for", "[damper][support]") {
    // Energies of the bodies themselves, with the volumes that geometry gives them: the leg sweeps A_leg x
    // against the atmosphere, the rod takes A_r x of it into the cartridge, the air loses the rest.
    const double leg = circle_area(50e-3);
    const double rod = circle_area(12e-3);
    const double piston = circle_area(36e-3);
    const auto gas_energy = [](double p, double v, double n, double swept) {
        return p * v * (std::pow(v / (v - swept), n - 1.0) - 1.0) / (n - 1.0);
    };
    const auto springs = [](double x) {
        const double beyond = std::max(0.0, x - 0.18);
        const double left = std::max(0.0, 15e-3 - x);
        const double into = std::max(0.0, x - 0.29);
        return 2400.0 * ((6e-3 + x) * (6e-3 + x) - 36e-6) + 1100.0 * beyond * beyond +
               15e3 * (left * left - 225e-6) + 100e3 * into * into;
    };
    damper::SetUp setup = whole_fork();
    double reservoir = 0.0;
    double air_swept = (leg - rod) * 0.3;
    SECTION("spring-backed piston, vented behind") {
        const double stroke = rod * 0.3 / piston;
        reservoir = 40.0 * stroke + 900.0 * stroke * stroke + p_atm * rod * 0.3;
    }
    SECTION("bladder") {
        setup.reservoir = {
            .kind = damper::ReservoirKind::bladder, .gas_volume = 120e-6, .gas_pressure = 1.5e5};
        reservoir = gas_energy(1.5e5, 120e-6, 1.4, rod * 0.3);
    }
    SECTION("gas piston") {
        setup.reservoir = {.kind = damper::ReservoirKind::gas_piston,
                           .diameter = 36e-3,
                           .gas_volume = 120e-6,
                           .gas_pressure = 3e5,
                           .exponent = 1.2};
        reservoir = gas_energy(3e5, 120e-6, 1.2, rod * 0.3);
    }
    SECTION("open cartridge") {
        setup.cartridge.layout = damper::Layout::open_cartridge;
        setup.reservoir = {.kind = damper::ReservoirKind::leg};
        air_swept = leg * 0.3;
        CHECK(SupportLaw(setup).at(0.2).reservoir == 0.0);
    }
    const SupportLaw law(setup);
    const double stored =
        springs(0.3) + gas_energy(p_atm, 685e-6, 1.3, air_swept) + reservoir - p_atm * leg * 0.3;
    CHECK_THAT(law.at(0.3).energy, WithinRel(stored, 1e-12));
    CHECK_THAT(work(law, {0.0, 15e-3, 0.18, 0.29, 0.3}), WithinRel(stored, 1e-8));
}

TEST_CASE("the slope is the derivative of the force", "[damper][support]") {
    constexpr double step = 1e-6; // [m]
    const SupportLaw fork(whole_fork());
    for (const double x : {5e-3, 0.05, 0.17, 0.19, 0.28, 0.295}) {
        const double quotient = (fork.at(x + step).force - fork.at(x - step).force) / (2.0 * step);
        CHECK_THAT(fork.at(x).slope, WithinRel(quotient, 1e-6)); // rounding of 1 kN over 2 µm
    }
}

TEST_CASE("the reservoir's part is the damper's own static force with the leg's air outside",
          "[damper][support]") {
    const damper::SetUp setup = whole_fork();
    const damper::Model model(setup, samples::bending_laws(setup));
    for (const double x : {0.0, 0.15, 0.3})
        CHECK_THAT(SupportLaw(setup).at(x).reservoir,
                   WithinRel(damper::steady_point(model, 0.0, x, damper::RodInto::leg).static_force, 1e-12));
}

TEST_CASE("two legs carry twice what one does", "[damper][support]") {
    damper::SetUp setup = whole_fork();
    const SupportLaw one(setup);
    setup.support->legs = 2;
    const SupportLaw pair(setup);
    const SupportPoint a = one.at(0.2);
    const SupportPoint b = pair.at(0.2);
    CHECK_THAT(b.force, WithinRel(2.0 * a.force, rounding));
    CHECK_THAT(b.slope, WithinRel(2.0 * a.slope, rounding));
    CHECK_THAT(b.energy, WithinRel(2.0 * a.energy, rounding));
    CHECK_THAT(pair.friction(), WithinRel(2.0 * one.friction(), rounding));
    CHECK(*b.p_leg == *a.p_leg);
}

TEST_CASE("friction is that of the leg and, through the rod, of the reservoir's piston",
          "[damper][support]") {
    damper::SetUp setup = whole_fork();
    const double at_rod = 18.0 * 144.0 / 1296.0; // 12 mm rod, 36 mm piston
    CHECK_THAT(SupportLaw(setup).reservoir_friction(), WithinRel(at_rod, rounding));
    CHECK_THAT(SupportLaw(setup).friction(), WithinRel(25.0 + at_rod, rounding));
    CHECK_THAT(SupportLaw(setup).breakaway(), WithinRel(35.0 + at_rod, rounding));
    setup.reservoir = {.kind = damper::ReservoirKind::bladder, .gas_volume = 120e-6, .gas_pressure = 1.5e5};
    CHECK(SupportLaw(setup).friction() == 25.0);
}

// Common practice, no source: a few ml more oil hold up the last part of the stroke and leave the first part
// as it was. Here first is the first third, to 100 mm of 300, and last the last tenth, from 270 mm.
TEST_CASE("a few ml more oil act in the last part of the stroke alone", "[damper][support]") {
    const auto force = [](double oil, double travel) {
        damper::SetUp setup = samples::fork();
        setup.support->spring = damper::MainSpring{.rate = 4800.0, .preload = 6e-3};
        setup.support->leg->oil_volume = oil;
        return SupportLaw(setup).at(travel).force;
    };
    for (const double more : {385e-6, 390e-6}) {
        const double ml = (more - 380e-6) * 1e6;
        const auto grows = [&](double travel) { return force(more, travel) / force(380e-6, travel) - 1.0; };
        for (const double travel : {0.0, 0.03, 0.05, 0.1}) {
            CHECK(grows(travel) >= 0.0);
            CHECK(grows(travel) < 0.0005 * ml); // half a thousandth a ml, 0.5 % for 10 ml
        }
        for (const double travel : {0.27, 0.285, 0.3})
            CHECK(grows(travel) > 0.002 * ml);
        CHECK(grows(0.3) > 0.005 * ml); // 5 % for 10 ml
        CHECK(force(more, 0.3) - force(380e-6, 0.3) > 25.0 * (force(more, 0.1) - force(380e-6, 0.1)));
    }
}

TEST_CASE("what cannot be answered is refused", "[damper][support]") {
    damper::SetUp setup = whole_fork();
    CHECK_THROWS_WITH(SupportLaw(setup).at(0.301), contains_text("301 mm") && contains_text("300 mm"));
    CHECK_THROWS_AS(SupportLaw(setup).at(-1e-9), InputError);
    setup.support.reset();
    CHECK_THROWS_WITH(SupportLaw(setup), contains_text("support: missing"));
}
