#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/damper/steady.hpp>

#include <cmath>
#include <cstdio>
#include <random>

using namespace valve;
using damper::Chamber;
using damper::Model;
using damper::Place;
using damper::ReservoirKind;
using damper::SteadyPoint;
using damper::Stroke;

namespace {

/// Draws legal set-ups and lift laws that follow no stack.
class Draw {
public:
    explicit Draw(unsigned seed) : m_random(seed) {}

    double between(double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(m_random);
    }
    double decades(double low, double high) { return low * std::pow(high / low, between(0.0, 1.0)); }
    bool chance(double share) { return between(0.0, 1.0) < share; }

    std::optional<flow::Bleed> bleed() {
        if (chance(0.3)) return std::nullopt;
        if (chance(0.4)) return samples::needle(std::floor(between(0.0, 24.99)));
        if (chance(0.5)) return flow::Hole{.diameter = between(0.3e-3, 2e-3), .count = 1};
        return flow::Notch{between(0.05e-6, 2e-6)};
    }

    stack::LiftLaw law() {
        std::vector<double> pressures{0.0, decades(0.001e5, 5e5)};
        std::vector<double> lifts{0.0, 0.0};
        for (int i = 0; i < 8; ++i) {
            pressures.push_back(pressures.back() + decades(0.01e5, 20e5));
            lifts.push_back(lifts.back() + decades(1e-6, 0.4e-3));
        }
        return {pressures, lifts, between(1.5e-4, 4e-4)};
    }

    damper::SetUp setup() {
        damper::SetUp setup = chance(0.5) ? samples::fork() : samples::shock();
        setup.oil.temperature = between(263.15, 373.15);
        setup.oil.cavitation_pressure = between(5e3, 50e3);
        for (const Place place : damper::all_places) {
            if (!setup.valves[place] && chance(0.5))
                setup.valves[place] = samples::valve_of(4, 13e-6, 19e-3, 21e-3);
            if (setup.valves[place] && chance(0.1)) setup.valves[place].reset();
            if (!setup.valves[place]) continue;
            setup.valves[place]->bleed = bleed();
            setup.valves[place]->jet_force = between(0.0, 1.0);
            setup.valves[place]->ports.area_each = between(5e-6, 25e-6);
        }
        if (chance(0.3)) setup.cartridge.ring_leak.reset();
        setup.reservoir.friction = between(0.0, 20.0);
        setup.reservoir.preload = between(0.0, 200.0);
        if (chance(0.3)) {
            setup.reservoir.kind = ReservoirKind::bladder;
            setup.reservoir.gas_volume = between(60e-6, 200e-6);
            setup.reservoir.gas_pressure = decades(1.2e5, 15e5);
        }
        return setup;
    }

    damper::LiftLaws laws(const damper::SetUp& setup) {
        damper::LiftLaws laws;
        for (const Place place : damper::all_places)
            if (setup.valves[place]) laws.at_place.at(static_cast<std::size_t>(place)) = law();
        return laws;
    }

private:
    std::mt19937 m_random;
};

/// What the rod displaces is what flows and what the void takes, to 1e-10 of it.
void check_flows(const Model& model, const SteadyPoint& point) {
    const bool in = point.speed > 0.0;
    const Stroke stroke = in ? Stroke::compression : Stroke::rebound;
    const double speed = std::abs(point.speed);
    const double annulus = model.annulus_area() * speed;
    const double rod = model.rod_area() * speed;
    // dp_* and not differences of pressures, which would cost the digits of a small drop
    const double piston = model.piston(stroke).at_pressure(point.dp_piston).flow;
    const double piston_void = point.cavitated == Chamber::R ? point.void_growth : 0.0;
    REQUIRE_THAT(piston + piston_void, WithinRel(annulus, 1e-10));
    if (!model.base(stroke)) return;
    const double base = model.base(stroke)->at_pressure(point.dp_base).flow;
    REQUIRE_THAT(in ? base - piston_void : base + point.void_growth, WithinRel(rod, 1e-10));
}

} // namespace

TEST_CASE("a thousand dampers lose no oil and make no energy", "[damper][steady]") {
    Draw draw(20261125);
    int solved = 0;
    int emptied = 0;
    for (int trial = 0; trial < 1000; ++trial) {
        const damper::SetUp setup = draw.setup();
        const Model model(setup, draw.laws(setup));
        const double travel = draw.between(0.0, setup.cartridge.travel);
        for (const double size : {draw.decades(1e-4, 0.1), draw.decades(0.1, 4.0)}) {
            for (const double speed : {-size, size}) {
                CAPTURE(trial, speed, travel);
                SteadyPoint point;
                try {
                    point = damper::steady_point(model, speed, travel);
                } catch (const SolveError&) {
                    continue; // beyond the end of a law, or no way for the oil
                }
                ++solved;
                if (point.cavitated) ++emptied;
                check_flows(model, point);
                REQUIRE(point.damping_force * speed >= 0.0);
                REQUIRE(point.void_growth >= 0.0);
                REQUIRE(point.headroom_C >= 0.0);
                REQUIRE(point.headroom_R >= 0.0);
                REQUIRE(point.dp_base >= 0.0);
                REQUIRE(point.dp_piston >= 0.0);
            }
        }
    }
    CHECK(solved > 2000); // of 4000: the test would say nothing if most failed
    CHECK(emptied > 100);
    std::printf(
        "counted: 1000 random dampers, %d states: oil kept to 1e-10, none makes energy, %d with a void\n",
        solved, emptied);
}
