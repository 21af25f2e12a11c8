#include <frame/numbers.hpp>
#include <motion/held_damper.hpp>
#include <motion/monotube.hpp>
#include <motion/parts.hpp>
#include <motion/two_discs.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/motion/detail/integrator.hpp>
#include <valve/motion/detail/moving_damper.hpp>
#include <valve/study/cycle.hpp>

#include <fmt/format.h>

#include <cmath>
#include <cstddef>
#include <numbers>
#include <span>
#include <string>
#include <vector>

namespace valve::validation {

namespace {

using damper::Place;
using motion::Grip;
using motion::detail::Integrator;
using motion::detail::StepEnd;

/// The monotube of two_discs.yaml, its gas behind a piston; `hole` [m]: of a base that has nothing else, 0:
/// none.
damper::SetUp with_piston(double hole, double mass, double friction) {
    damper::SetUp setup = two_discs(12e-3).model.setup();
    setup.reservoir.kind = damper::ReservoirKind::gas_piston;
    setup.reservoir.diameter = 46e-3;
    setup.reservoir.mass = mass;
    setup.reservoir.friction = friction;
    if (hole > 0.0) {
        flow::Valve base = setup.valves[Place::piston_compression].value();
        base.bleed = flow::Hole{.diameter = hole, .count = 1};
        base.stack.floating->preload = 2e3; // it never opens here
        setup.valves[Place::base_compression] = base;
    }
    return setup;
}

/// Second of two cycles of 50 mm at 5 Hz.
void beside_scipy(Recorder& recorder, const std::string& group, const damper::SetUp& setup) {
    damper::LiftCache cache;
    const damper::Model model = cache.model(setup);
    motion::CycleOptions options;
    options.samples = 80;
    options.lead_in = false; // from rest, as the reference
    options.least_loops = options.most_loops = 2;
    options.relative_error = 1e-10;
    options.pressure_error = 1e-3;
    const motion::Cycle cycle =
        run_cycle(model, motion::moving_valves(model, cache), two_discs_input(), options);
    const Source source{"", "SciPy's Radau on the same equations, written apart from the library, "
                            "references/heavy_piston.py"};
    const auto check = [&](const std::string& what, double got, double within, const char* unit) {
        recorder.add({fmt::format("two discs, a heavy piston {}: {}", group, what), source,
                      Kind::computed_reference, numbers("heavy_piston").at(group, what), got,
                      absolute(within, "steps of either side, of what rings at some 700 Hz"), unit});
    };
    constexpr std::size_t parts = 16;
    for (std::size_t k = 0; k < parts; ++k) {
        const motion::Moment& moment = cycle.series.at(k * static_cast<std::size_t>(options.samples) / parts);
        const std::string at = fmt::format(" at {}/16", k);
        check("force" + at, moment.force, 0.02, "N");
        check("p_C" + at, moment.p_C, 15.0, "Pa");
        check("p_R" + at, moment.p_R, 15.0, "Pa");
        check("p_S" + at, moment.p_S, 15.0, "Pa");
        if (moment.base_flow != 0.0) check("flow into S" + at, moment.base_flow, 5e-9, "m3/s");
        for (const auto& [place, name] : {std::pair{Place::piston_compression, "compression"},
                                          std::pair{Place::piston_rebound, "rebound"}}) {
            const double lift = moment.valves.at(static_cast<std::size_t>(place)).lift;
            if (lift > 0.0) check(fmt::format("lift of {}{}", name, at), lift, 5e-9, "m");
        }
    }
    recorder.add({fmt::format("two discs, a heavy piston {}: balance of energy", group), no_source(),
                  Kind::common_practice, 1e-6, cycle.balance.energy, at_most("with what moves the piston"),
                  ""});
}

/// At rest, but `more` oil in S than belongs there [m³].
std::vector<double> let_go(HeldDamper& equations, double more) {
    std::vector<double> y = equations.at_rest();
    if (const auto own = equations.damper().taken_in_of()) {
        y[*own] += more;
    } else {
        y[2] += more;
        y[0] -= more;
    }
    return y;
}

/// Oil with so much air that it is about as soft as the gas, and passages without resistance.
damper::Model soft_monotube(bool base, double mass, double friction) {
    damper::SetUp setup = monotube().setup();
    setup.oil.free_air = 0.6;
    setup.reservoir.kind = damper::ReservoirKind::gas_piston;
    setup.reservoir.diameter = 46e-3;
    setup.reservoir.mass = mass;
    setup.reservoir.friction = friction;
    flow::Valve& valve = setup.valves[Place::piston_compression].value();
    valve.bleed = flow::Notch{.area = 0.1};
    damper::LiftLaws laws;
    const stack::LiftLaw shut({0.0, 200e5}, {0.0, 0.0}, 2.4e-4);
    laws.at_place.at(static_cast<std::size_t>(Place::piston_compression)) = shut;
    if (base) {
        setup.valves[Place::base_compression] = valve;
        laws.at_place.at(static_cast<std::size_t>(Place::base_compression)) = shut;
    }
    return {setup, laws};
}

/// The piston swings between gas and oil, ω² = (s_gas + s_oil) A_S²/m, and with Coulomb's friction each swing
/// is 2 F/(A_S s) shorter than the one before.
void swinging_piston(Recorder& recorder, bool base) {
    constexpr double mass = 0.5;
    constexpr double area = std::numbers::pi / 4.0 * 46e-3 * 46e-3;
    constexpr double more = 1e-8; // [m³]
    const std::string where = base ? "behind a base" : "next to C";
    // dp/dV of the gas, and of the oil in C and R (and S, next to C), by the laws as written.
    const damper::Model still = soft_monotube(base, mass, 0.0);
    const damper::Reservoir& gas = still.setup().reservoir;
    const double displaced = still.rod_area() * 0.05;
    const double room = gas.gas_volume - displaced;
    const double pressure = gas.gas_pressure * std::pow(gas.gas_volume / room, gas.exponent);
    const damper::Cartridge& tube = still.setup().cartridge;
    const double volume = still.piston_area() * (tube.travel - 0.05 + tube.dead_length_C) +
                          still.annulus_area() * (0.05 + tube.dead_length_R) + (base ? 0.0 : displaced);
    const double air = still.setup().oil.free_air;
    const double bulk = still.setup().oil.bulk_modulus;
    const double liquid = (1.0 - air) * std::exp((101325.0 - pressure) / bulk);
    const double bubbles = air * std::pow(101325.0 / pressure, 1.0 / 1.4);
    const double gives = volume / (liquid + bubbles) * (liquid / bulk + bubbles / (1.4 * pressure));
    // With a base a volume of oil at 1 atm, which S counts, leaves room for v of it in C.
    const double of_oil = base ? liquid + bubbles : 1.0;
    const double stiffness = gas.exponent * pressure / room + of_oil / gives;
    const double omega = area * std::sqrt(stiffness / mass);
    const double half = std::numbers::pi / omega;

    const Source source{"den_hartog_1985", "free vibration, without friction and with Coulomb's"};
    const auto check = [&](const std::string& what, double expected, double got, double within,
                           const char* unit) {
        recorder.add({fmt::format("a reservoir's piston that swings, {}: {}", where, what), source,
                      Kind::memory, expected, got, absolute(within, "swings are small, not infinitely so"),
                      unit});
    };
    { // free: the eighth time that it turns
        HeldDamper equations(still);
        std::vector<double> y = let_go(equations, more);
        Integrator integrator(equations, equations.damper().tolerances(1e-4, 1e-12, 1e3), 1e-9);
        double time = 0.0;
        integrator.start(time, y, half / 100.0);
        int turns = 0;
        double before = 0.0;
        double began = 0.0;
        double turned = 0.0;
        constexpr int swings = 8;
        while (turns < swings && time < 20.0 * half) {
            integrator.step(1.0, time, y);
            const double flow = y[equations.damper().intake_of().value()];
            if (before * flow < 0.0) {
                turned = began + (time - began) * before / (before - flow);
                ++turns;
            }
            before = flow;
            began = time;
        }
        check("time of eight half swings", swings * half, turned, 1e-4 * swings * half, "s");
        check("amplitude after them", more,
              equations.damper().reservoir_volume(HeldDamper::rod, y) - displaced, 1e-3 * more, "m3");
    }
    // With friction: 1/9.5 of the first way a swing, so that it stays where it is after five.
    const double friction = more * stiffness / 9.5 * area;
    const damper::Model rubbing = soft_monotube(base, mass, friction);
    HeldDamper equations(rubbing);
    std::vector<double> y = let_go(equations, more);
    equations.damper().set([&] {
        motion::Modes modes = equations.damper().modes();
        modes.grip = Grip::out;
        return modes;
    }());
    Integrator integrator(equations, equations.damper().tolerances(1e-4, 1e-12, 1e3), 1e-9);
    double time = 0.0;
    integrator.start(time, y, half / 20.0);
    int stops = 0;
    double left = more;
    while (time < 20.0 * half && equations.damper().modes().grip != Grip::stuck) {
        const StepEnd how = integrator.step(1.0, time, y);
        if (!equations.switch_modes(time, y,
                                    how == StepEnd::root ? integrator.signs() : std::span<const int>{}))
            continue;
        ++stops;
        left = -(std::abs(left) - 2.0 * more / 9.5) * (left > 0.0 ? 1.0 : -1.0);
        check(fmt::format("way after swing {} with friction", stops), left,
              equations.damper().reservoir_volume(HeldDamper::rod, y) - displaced, 1e-3 * more, "m3");
        check(fmt::format("time of swing {} with friction", stops), stops * half, time, 1e-4 * stops * half,
              "s");
        integrator.start(time, y, half / 20.0);
    }
    check("swings with friction until it stays", 5.0, stops, 0.5, "");
}

} // namespace

void heavy_piston_checks(Recorder& recorder) {
    beside_scipy(recorder, "next to C", with_piston(0.0, 0.4, 60.0));
    beside_scipy(recorder, "behind a base", with_piston(4e-3, 0.4, 60.0));
    beside_scipy(recorder, "behind a base, without friction", with_piston(4e-3, 0.1, 0.0));
    // Both laws, which tend to each other.
    beside_scipy(recorder, "behind a base, of 1 g", with_piston(4e-3, 1e-3, 0.0));
    beside_scipy(recorder, "behind a base, without mass", with_piston(4e-3, 0.0, 0.0));
    beside_scipy(recorder, "behind a base, friction without mass", with_piston(4e-3, 0.0, 60.0));
    for (const bool base : {false, true})
        swinging_piston(recorder, base);
}

} // namespace valve::validation
