#include <motion/random_damper.hpp>
#include <motion/random_ride.hpp>
#include <valve/core/constants.hpp>
#include <valve/core/findings.hpp>
#include <valve/damper/steady.hpp>
#include <valve/motion/ride.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>

namespace valve::tests {

namespace {

/// Springs and masses that a unit of this travel might have.
void add_support(Draw& draw, damper::SetUp& setup) {
    if (!setup.support) setup.support.emplace();
    damper::Support& support = *setup.support;
    const double travel = setup.cartridge.travel;
    const double ratio = draw.between(0.4, 1.1);
    support.load = damper::Load{.sprung_mass = draw.between(50.0, 120.0), .motion_ratio = ratio};
    support.legs = draw.one_of({1, 2});
    const double force = support.load->sprung_mass * standard_gravity / (ratio * support.legs);
    support.spring = damper::MainSpring{.rate = force / (draw.between(0.2, 0.4) * travel),
                                        .preload = draw.between(0.0, 0.05) * travel};
    if (draw.chance(0.6))
        support.top_out =
            damper::EndSpring{.rate = support.spring->rate, .length = draw.between(0.02, 0.1) * travel};
    if (draw.chance(0.6))
        support.stop = damper::EndSpring{.rate = draw.decades(3.0, 50.0) * support.spring->rate,
                                         .length = draw.between(0.03, 0.15) * travel};
    support.friction = draw.chance(0.2) ? 0.0 : draw.between(2.0, 60.0);
    support.breakaway = support.friction * draw.between(1.0, 1.5);
}

motion::Event draw_event(Draw& draw, motion::EventKind kind) {
    motion::Event event;
    event.kind = kind;
    event.duration = 0.8;
    event.at = 0.6;
    switch (kind) {
    case motion::EventKind::landing:
        event.height = draw.between(0.05, 1.5);
        break;
    case motion::EventKind::bumps:
        event.height = draw.between(5e-3, 90e-3);
        event.length = draw.between(0.2, 1.0);
        event.pitch = event.length * draw.between(1.0, 3.0);
        event.count = 6;
        event.speed = draw.between(4.0, 20.0);
        break;
    default:
        event.height = draw.between(5e-3, 100e-3);
        event.speed = draw.between(4.0, 20.0);
    }
    return event;
}

constexpr std::array<motion::EventKind, 3> kinds{motion::EventKind::landing, motion::EventKind::bumps,
                                                 motion::EventKind::square_edge};

/// Set-up `seed` over an event of this kind, drawn after it.
void ride(unsigned seed, motion::EventKind kind, bool moves, bool heavy_piston, RandomRides& result) {
    Draw draw(seed);
    RandomDamper drawn(draw);
    add_support(draw, drawn.setup);
    Draw more(seed); // of its own, so that the set-ups stay as they are
    if (heavy_piston) {
        drawn.setup.reservoir.mass = more.decades(0.01, 1.0);
        if (more.chance(0.3)) drawn.setup.reservoir.friction = 0.0;
    }
    if (first_error(damper::check(drawn.setup)) != nullptr) {
        ++result.unfit;
        return;
    }
    const damper::Model model(drawn.setup, drawn.laws);
    const motion::Event event = draw_event(draw, kind);
    try { // no way for the oil: nothing worth asking for
        for (const double speed : {1.0, -1.0})
            damper::steady_point(model, speed, 0.5 * drawn.setup.cartridge.travel);
    } catch (const SolveError&) {
        ++result.unfit;
        return;
    }
    const damper::SupportLaw support(drawn.setup);
    const motion::MovingValves valves = moves ? drawn.moving(draw, model) : motion::MovingValves{};
    const motion::RideUnit unit{model, valves, support};
    motion::Vehicle vehicle;
    vehicle.unsprung = draw.between(8.0, 30.0);
    vehicle.tyre = {draw.between(100e3, 300e3), draw.between(0.0, 800.0), draw.between(0.2, 0.4)};
    const std::string which =
        fmt::format("seed {}, {}, {}, valves {}", seed, damper::name(drawn.setup.cartridge.layout),
                    motion::name(event.kind), moves ? "moving" : "quasi-static");
    motion::RideOptions options;
    options.most_steps = 3'000'000;
    try {
        const motion::Ride ride =
            motion::run_ride({&unit, 1}, vehicle, *drawn.setup.support->load, event, options);
        ++result.finished;
        result.steps += ride.steps;
        for (const long switches : ride.switches)
            result.switches += switches;
        result.worst_mass = std::max(result.worst_mass, ride.balance.mass);
        if (ride.balance.energy > result.worst_energy) {
            result.worst_energy = ride.balance.energy;
            result.worst = which;
        }
        if (!std::isfinite(ride.metrics.peak_travel) || !std::isfinite(ride.metrics.rms_acceleration))
            result.faults += which + ": a number is not finite\n";
        constexpr double open_mass = 1e-10;
        if (ride.balance.mass > open_mass)
            result.faults += fmt::format("{}: oil open by {:.1e}\n", which, ride.balance.mass);
        constexpr double open_energy = 1e-6;
        if (ride.balance.energy > open_energy)
            result.faults += fmt::format("{}: energy open by {:.1e}\n", which, ride.balance.energy);
    } catch (const InputError&) {
        ++result.unfit;
    } catch (const SolveError& error) {
        ++result.refused;
        result.refusals += which + ": " + error.what() + "\n";
    }
}

} // namespace

RandomRides run_random_rides(int count, unsigned seed, bool heavy_pistons) {
    RandomRides result;
    for (int trial = 0; trial < count; ++trial)
        ride(seed + static_cast<unsigned>(trial), kinds.at(static_cast<std::size_t>(trial) % kinds.size()),
             trial % 2 == 1, heavy_pistons, result);
    return result;
}

RandomRides run_random_rides_over_each(int count, unsigned seed, bool heavy_pistons) {
    RandomRides result;
    for (int trial = 0; trial < count; ++trial)
        for (const motion::EventKind kind : kinds)
            ride(seed + static_cast<unsigned>(trial), kind, (seed + static_cast<unsigned>(trial)) % 2 == 0,
                 heavy_pistons, result);
    return result;
}

} // namespace valve::tests
