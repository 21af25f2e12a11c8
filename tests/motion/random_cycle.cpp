#include <damper/draw.hpp>
#include <motion/random_cycle.hpp>
#include <valve/core/findings.hpp>
#include <valve/damper/steady.hpp>
#include <valve/motion/cycle.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace valve::tests {

namespace {

/// A valve that moves by the law drawn for it, with a mass of its own.
motion::MovingValves moving(Draw& draw, const damper::Model& model,
                            const std::vector<std::optional<std::vector<motion::ProfilePoint>>>& points) {
    motion::MovingValves valves;
    for (std::size_t i = 0; i < valves.size(); ++i) {
        if (!points[i]) continue;
        const std::optional<double> stop =
            draw.chance(0.3) ? std::optional<double>(points[i]->back().lift) : std::nullopt;
        valves[i].emplace(*model.setup().valves.at_place.at(i), motion::Profile(*points[i], stop), 2.5e-4,
                          model.oil());
    }
    return valves;
}

bool finite(const motion::Moment& moment) {
    return std::isfinite(moment.force) && moment.p_C > 0.0 && moment.p_R > 0.0 && std::isfinite(moment.p_S) &&
           std::isfinite(moment.p_C) && std::isfinite(moment.p_R) && moment.void_C >= 0.0 &&
           moment.void_R >= 0.0;
}

} // namespace

RandomCycles run_random_cycles(int count, unsigned seed) {
    RandomCycles result;
    for (int trial = 0; trial < count; ++trial) {
        Draw draw(seed + static_cast<unsigned>(trial));
        damper::SetUp setup = draw.setup();
        setup.oil.free_air = draw.decades(1e-3, 5e-2);
        damper::LiftLaws laws;
        std::vector<std::optional<std::vector<motion::ProfilePoint>>> points(4);
        for (std::size_t i = 0; i < points.size(); ++i) {
            if (!setup.valves.at_place.at(i)) continue;
            std::vector<double> pressures{0.0, draw.decades(0.001e5, 5e5)};
            std::vector<double> lifts{0.0, 0.0};
            std::vector<motion::ProfilePoint>& profile = points[i].emplace();
            const double mass = draw.decades(0.3e-3, 20e-3);
            const motion::ProfileSide side{draw.between(1.5e-4, 3e-4), mass};
            profile.push_back({0.0, pressures.back(), side, side});
            for (int k = 0; k < 8; ++k) {
                pressures.push_back(pressures.back() + draw.decades(0.01e5, 20e5));
                lifts.push_back(lifts.back() + draw.decades(1e-6, 0.4e-3));
                const motion::ProfileSide here{draw.between(1.5e-4, 3e-4), mass * draw.between(0.5, 1.5)};
                profile.push_back({lifts.back(), pressures.back(), here, here});
            }
            laws.at_place.at(i) = stack::LiftLaw(pressures, lifts, 2.5e-4);
        }
        if (first_error(damper::check(setup)) != nullptr) continue;
        const damper::Model model(setup, laws);
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
        options.least_loops = options.most_loops = 3;
        options.samples = 100;
        try {
            const motion::Cycle cycle = run_cycle(
                model, moves ? moving(draw, model, points) : motion::MovingValves{}, input, options);
            ++result.finished;
            result.steps += cycle.steps;
            result.worst_mass = std::max(result.worst_mass, cycle.balance.mass);
            result.worst_energy = std::max(result.worst_energy, cycle.balance.energy);
            if (!std::all_of(cycle.moments.begin(), cycle.moments.end(), finite))
                result.faults += which + ": a number is not finite\n";
            constexpr double open_mass = 1e-10;
            if (cycle.balance.mass > open_mass)
                result.faults += fmt::format("{}: oil open by {:.1e}\n", which, cycle.balance.mass);
        } catch (const SolveError& error) {
            ++result.refused;
            result.refusals += which + ": " + error.what() + "\n";
        }
    }
    return result;
}

} // namespace valve::tests
