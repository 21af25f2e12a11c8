#pragma once

#include <damper/samples.hpp>
#include <valve/damper/geometry.hpp>

#include <cmath>
#include <cstddef>
#include <initializer_list>
#include <optional>
#include <random>
#include <vector>

namespace valve::tests {

using damper::Layout;
using damper::Place;
using damper::ReservoirKind;

/// Draws legal set-ups of every layout, and lift laws that follow no stack.
class Draw {
public:
    explicit Draw(unsigned seed) : m_random(seed) {}

    double between(double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(m_random);
    }
    double decades(double low, double high) { return low * std::pow(high / low, between(0.0, 1.0)); }
    bool chance(double share) { return between(0.0, 1.0) < share; }

    template <class Value>
    Value one_of(std::initializer_list<Value> values) {
        return *(values.begin() + std::uniform_int_distribution<std::ptrdiff_t>(
                                      0, static_cast<std::ptrdiff_t>(values.size()) - 1)(m_random));
    }

    std::optional<flow::Bleed> bleed() {
        if (chance(0.3)) return std::nullopt;
        if (chance(0.4)) return samples::needle(std::floor(between(0.0, 24.99)));
        if (chance(0.5)) return flow::Hole{.diameter = between(0.3e-3, 2e-3), .count = 1};
        return flow::Notch{between(0.05e-6, 2e-6)};
    }

    flow::Valve valve() {
        flow::Valve valve = samples::valve_of(4, between(5e-6, 25e-6), 19e-3, 21e-3);
        valve.bleed = bleed();
        valve.bleed_ways = chance(0.3) ? flow::BleedWays::one : flow::BleedWays::both;
        valve.jet_force = between(0.0, 1.0);
        return valve;
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

    damper::Cartridge cartridge() {
        damper::Cartridge cartridge;
        cartridge.layout =
            one_of({Layout::closed_cartridge, Layout::open_cartridge, Layout::monotube, Layout::twin_tube});
        cartridge.bore = between(22e-3, 50e-3);
        cartridge.rod = between(0.25, 0.7) * cartridge.bore;
        cartridge.travel = between(60e-3, 320e-3);
        if (chance(0.7))
            cartridge.ring_leak = damper::RingLeak{.gap = between(0.005e-3, 0.1e-3),
                                                   .length = between(3e-3, 12e-3),
                                                   .eccentricity = between(0.0, 1.0)};
        if (chance(0.5)) cartridge.end_of_stroke = cup(0.0, cartridge);
        if (chance(0.5)) cartridge.top_out = cup(cartridge.rod, cartridge);
        return cartridge;
    }

    /// Round a rod, or none; two leave room between them.
    damper::EndCup cup(double rod, const damper::Cartridge& cartridge) {
        damper::EndCup cup{.plug = std::max(1.1 * rod, between(0.3, 0.8) * cartridge.bore),
                           .length = between(0.1, 0.3) * cartridge.travel};
        cup.gap = between(0.005, 0.04) * cup.plug;
        cup.entry_gap = cup.gap + between(0.0, 1e-3);
        if (chance(0.5)) cup.hole = between(0.5e-3, 4e-3);
        if (chance(0.5)) cup.ways = flow::BleedWays::one;
        return cup;
    }

    /// The legs of a fork: room for all of its travel.
    damper::Leg leg(const damper::Cartridge& cartridge) {
        damper::Leg leg{.oil_volume = between(100e-6, 500e-6),
                        .diameter = cartridge.bore + between(5e-3, 20e-3)};
        leg.chamber_volume =
            leg.oil_volume + between(1.1, 2.5) * damper::circle_area(leg.diameter) * cartridge.travel;
        leg.pressure = p_atm + between(0.0, 3e5);
        leg.exponent = between(1.0, 1.4);
        return leg;
    }

    damper::Reservoir reservoir(const damper::Cartridge& cartridge) {
        damper::Reservoir reservoir;
        switch (cartridge.layout) {
        case Layout::open_cartridge:
            reservoir.kind = ReservoirKind::leg;
            return reservoir;
        case Layout::twin_tube:
            reservoir.kind = ReservoirKind::bladder;
            break;
        case Layout::closed_cartridge:
        case Layout::monotube:
            reservoir.kind =
                one_of({ReservoirKind::spring_piston, ReservoirKind::bladder, ReservoirKind::gas_piston});
        }
        reservoir.diameter = between(25e-3, 60e-3);
        reservoir.friction = between(0.0, 30.0);
        reservoir.spring_rate = between(0.0, 5000.0);
        reservoir.preload = between(0.0, 300.0);
        if (chance(0.2)) reservoir.back_pressure = p_atm + between(0.0, 10e5);
        reservoir.gas_volume = between(1.1, 4.0) * damper::rod_area(cartridge) * cartridge.travel;
        reservoir.gas_pressure = decades(1.2e5, 25e5);
        reservoir.exponent = between(1.0, 1.4);
        if (chance(0.3))
            reservoir.capacity = between(1.05, 2.0) * damper::rod_area(cartridge) * cartridge.travel;
        return reservoir;
    }

    damper::SetUp setup() {
        damper::SetUp setup;
        setup.oil = samples::oil();
        setup.oil.temperature = between(253.15, 393.15);
        setup.oil.cavitation_pressure = between(5e3, 50e3);
        setup.cartridge = cartridge();
        setup.reservoir = reservoir(setup.cartridge);
        const bool is_fork = setup.cartridge.layout == Layout::open_cartridge ||
                             setup.cartridge.layout == Layout::closed_cartridge;
        if (is_fork) setup.support.emplace().leg = leg(setup.cartridge);
        const bool has_base = chance(setup.cartridge.layout == Layout::monotube ? 0.5 : 0.9);
        for (const Place place : damper::all_places)
            if ((damper::at_piston(place) || has_base) && chance(0.9)) setup.valves[place] = valve();
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

} // namespace valve::tests
