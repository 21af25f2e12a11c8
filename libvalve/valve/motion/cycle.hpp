#pragma once

#include <valve/core/findings.hpp>
#include <valve/damper/model.hpp>
#include <valve/motion/input.hpp>
#include <valve/motion/moment.hpp>
#include <valve/motion/moving_valves.hpp>
#include <valve/motion/stopped.hpp>

#include <array>
#include <functional>
#include <optional>
#include <stop_token>
#include <string>
#include <vector>

namespace valve::motion {

/// Errors are those that a step may make.
struct CycleOptions {
    damper::RodInto rod_into = damper::RodInto::atmosphere;
    double relative_error = 1e-7;
    double pressure_error = 0.1;   ///< [Pa]
    double energy_error = 1e-9;    ///< of what 1 atm does on the piston in a stroke, or, where that is less,
                                   ///< of 40/N times what the loop before has lost in N steps; a loop that
                                   ///< leaves open a thousand times this share of its losses is not the last,
                                   ///< while some are left, and the next errs less
    double periodic_within = 1e-3; ///< of their range: the state at both ends of the last loop, and, unless
                                   ///< what is left of the start dies away fast, force and pressures of the
                                   ///< loop before [-]
    bool lead_in = true;           ///< of what is periodic the first loop is run with larger errors
    int least_loops = 2;           ///< with the lead-in
    int most_loops = 30;
    long most_steps = 2'000'000; ///< of one loop; a valve that chatters all the time needs so many
    int samples = 400;           ///< of the series
    std::stop_token stop = {};
    std::function<void(double)> progress = {}; ///< told the time reached [s]
};

/// Errors name a member of `options` and what is expected of it.
Findings check(const CycleOptions& options);

/// What does not close, as a share: of the oil there is, of the energy that has been lost, or of 1 mJ where
/// that is less, since nothing has happened.
struct Balance {
    double mass = 0.0;
    double energy = 0.0;
};

inline constexpr double least_loss = 1e-3; ///< that an energy left open is compared with [J]

/// One loop of an input, the last that was run.
struct Cycle {
    std::vector<Moment> series;  ///< at even times, both ends included
    std::vector<Moment> moments; ///< at every step and between, twice where something jumps
    Energies energy;             ///< over the loop
    double plates_stored = 0.0;  ///< more in the valves' plates at the end than at the beginning [J]
    double impacts = 0.0;        ///< lost on seats and stops [J]
    double work = 0.0;           ///< of the rod, ∮ F dx [J]
    Balance balance;             ///< of the loop
    int loops = 0;               ///< run in all
    bool periodic = false;       ///< it ends in the state in which it began
    double oil_mass = 0.0;       ///< in C and R, middle of the stroke [kg]
    long steps = 0;              ///< of the whole run, as the next three
    long rates = 0;
    long jacobians = 0;
    long events = 0;
};

/// Runs `input` through a damper until the next loop would be the same, or once. Throws InputError for
/// options that cannot be and an input that leaves the damper's travel, SolveError, with time, place and what
/// to try, where no step is found or the limit on steps is reached, Stopped, and as require_all_or_none().
Cycle run_cycle(const damper::Model& model, const MovingValves& valves, const Input& input,
                const CycleOptions& options = {});

} // namespace valve::motion
