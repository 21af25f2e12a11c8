#include <motion/random_cycle.hpp>
#include <motion/random_damper.hpp>
#include <valve/core/findings.hpp>
#include <valve/damper/steady.hpp>
#include <valve/motion/cycle.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace valve::tests {

namespace {

bool finite(const motion::Moment& moment) {
    return std::isfinite(moment.force) && moment.p_C > 0.0 && moment.p_R > 0.0 && std::isfinite(moment.p_S) &&
           std::isfinite(moment.p_C) && std::isfinite(moment.p_R) && moment.void_C >= 0.0 &&
           moment.void_R >= 0.0;
}

} // namespace

RandomCycles run_random_cycles(int count, unsigned seed, const RandomParts& parts) {
    RandomCycles result;
    for (int trial = 0; trial < count; ++trial) {
        Draw draw(seed + static_cast<unsigned>(trial));
        RandomDamper drawn(draw);
        Draw more(seed + static_cast<unsigned>(trial)); // of its own, so that the dampers stay as they are
        for (auto& valve : drawn.setup.valves.at_place)
            if (valve) valve->restitution = more.between(0.0, parts.most_restitution);
        if (parts.heavy_pistons) {
            drawn.setup.reservoir.mass = more.decades(0.01, 1.0);
            if (more.chance(0.3)) drawn.setup.reservoir.friction = 0.0;
        }
        const damper::SetUp& setup = drawn.setup;
        if (first_error(damper::check(setup)) != nullptr) continue;
        const damper::Model model(setup, drawn.laws);
        const bool moves = trial % 2 == 1;
        const double travel = setup.cartridge.travel;
        const double frequency = draw.decades(0.1, 25.0);
        constexpr double fastest = 5.0; // [m/s]
        const double stroke = std::min(draw.between(0.05, 0.6) * travel,
                                       fastest / (3.1416 * frequency) * draw.between(0.1, 1.0));
        const motion::Input input = motion::Input::sine(0.5 * travel, stroke, frequency);
        try { // what has no steady state at the top speed has no cycle worth asking for
            for (const double speed : {input.peak_speed(), -input.peak_speed()})
                damper::steady_point(model, speed, 0.5 * travel);
        } catch (const SolveError&) {
            ++result.without_steady_state;
            continue;
        }
        const std::string which =
            fmt::format("seed {}, {}, {:.3g} Hz, {:.3g} m/s, valves {}", seed + static_cast<unsigned>(trial),
                        damper::name(setup.cartridge.layout), frequency, input.peak_speed(),
                        moves ? "moving" : "quasi-static");
        motion::CycleOptions options;
        options.least_loops = 3;
        options.most_loops = 4; // one more where energy does not close
        options.samples = 100;
        try {
            const motion::Cycle cycle =
                run_cycle(model, moves ? drawn.moving(draw, model) : motion::MovingValves{}, input, options);
            ++result.finished;
            result.steps += cycle.steps;
            result.worst_mass = std::max(result.worst_mass, cycle.balance.mass);
            if (cycle.balance.energy > result.worst_energy) {
                result.worst_energy = cycle.balance.energy;
                result.worst = which;
            }
            if (!std::all_of(cycle.moments.begin(), cycle.moments.end(), finite))
                result.faults += which + ": a number is not finite\n";
            constexpr double open_mass = 1e-10;
            if (cycle.balance.mass > open_mass)
                result.faults += fmt::format("{}: oil open by {:.1e}\n", which, cycle.balance.mass);
            constexpr double open_energy = 1e-6;
            if (cycle.balance.energy > open_energy)
                result.faults += fmt::format("{}: energy open by {:.1e}\n", which, cycle.balance.energy);
        } catch (const SolveError& error) {
            ++result.refused;
            result.refusals += which + ": " + error.what() + "\n";
        }
    }
    return result;
}

} // namespace valve::tests
