#pragma once

#include <valve/damper/model.hpp>
#include <valve/damper/spec.hpp>
#include <valve/damper/support.hpp>
#include <valve/motion/cycle.hpp>
#include <valve/motion/event.hpp>
#include <valve/motion/ground.hpp>
#include <valve/motion/moment.hpp>
#include <valve/motion/vehicle.hpp>

#include <array>
#include <functional>
#include <optional>
#include <span>
#include <stop_token>
#include <vector>

namespace valve::motion {

/// Metal that ends the travel at both ends [N/m], and its damping as a share of √(k m).
inline constexpr double metal_rate = 20e6;
inline constexpr double metal_damping_share = 0.1;

/// One leg, or a pair that is alike. All must outlive the ride.
struct RideUnit {
    const damper::Model& model;
    const MovingValves& valves;        ///< none: they follow the pressure at once
    const damper::SupportLaw& support; ///< of as many legs as it stands for
};

/// What the rod of a unit leaves into.
damper::RodInto rod_into(const damper::SetUp& unit);

/// One moment of a ride. Heights above level ground, of the sprung mass less that at the start of a ride from
/// rest [m].
struct RideMoment {
    double time = 0.0;
    double distance = 0.0;
    double travel = 0.0; ///< of the unit [m]
    double speed = 0.0;  ///< of its rod, positive in compression [m/s]
    double wheel_travel = 0.0;
    double sprung = 0.0;
    double unsprung = 0.0;     ///< of the wheel's lowest point, tyre unloaded
    double ground = 0.0;       ///< z_e
    double wheel_load = 0.0;   ///< F_t [N]
    double acceleration = 0.0; ///< z̈_s [m/s²]
    double force = 0.0;        ///< of all legs on the rods, outwards, friction included [N]
    bool stuck = false;
    bool metal = false;
    std::vector<Moment> units; ///< the dampers
};

/// Energies over a ride [J]. Of all legs where of a unit.
struct RideEnergies {
    std::vector<Energies> units; ///< of one leg of each
    double ground = 0.0;         ///< that the ground has brought in
    double transfer = 0.0;       ///< that load transfer has
    double tyre = 0.0;           ///< lost in the tyre, what it held as it let go still bent included
    double friction = 0.0;       ///< lost to bushings and seals
    double metal = 0.0;          ///< lost at the ends of the travel, likewise
    double dampers = 0.0;        ///< that the rods have brought to the cartridges
};

/// Where the energy of a ride goes, all legs together [J].
struct RideLosses {
    std::array<double, 4> valves{}; ///< in the order of damper::all_places
    double base_bleeds = 0.0;
    double piston_bleeds = 0.0; ///< and ring leak
    double cups = 0.0;
    double reservoir_friction = 0.0;
    double friction = 0.0; ///< of bushings and seals
    double tyre = 0.0;
    double metal = 0.0;

    double sum() const;
};

/// A unit over a ride.
struct UnitInRide : Extremes {
    int legs = 1;                         ///< that it stands for
    std::vector<damper::Place> valves;    ///< that it has
    std::array<double, 4> largest_lift{}; ///< of its valves, in the order of damper::all_places [m]
    /// Of each valve, by SwingCount, in the stroke of the rod that has the most.
    std::array<int, 4> swings{};
    std::optional<Moment> hardest_compression; ///< when the rod is pushed out hardest as it goes in
    std::optional<Moment> hardest_rebound;     ///< when it is held back hardest as it comes out
    double oil_mass = 0.0;                     ///< in C and R, half-way [kg]
    std::vector<RodMoment> rod;                ///< at every step, twice where something jumps
};

/// What sums up a ride. Shares, means, r.m.s. and the acceleration count from when the wheel leaves level
/// ground (a landing: from its beginning) to the end; zero where it never does (Ride::begin).
struct RideMetrics {
    double start_travel = 0.0;             ///< [m]
    double peak_travel = 0.0;              ///< [m]
    double residual_travel = 0.0;          ///< at the end [m]
    double full_travel = 0.0;              ///< [m]
    std::vector<double> start_travels;     ///< as each bump of a row is met [m]
    std::optional<double> closing_speed;   ///< largest as the stop is reached [m/s]; none: it is not
    std::optional<double> metal_speed;     ///< largest as metal is met at full travel [m/s]
    std::optional<double> extension_speed; ///< the same at full extension [m/s]
    double peak_speed_compression = 0.0;   ///< of the rod [m/s]
    double peak_speed_rebound = 0.0;       ///< magnitude [m/s]
    double rms_acceleration = 0.0;         ///< of z̈_s [m/s²]
    double peak_acceleration = 0.0;        ///< largest magnitude [m/s²]
    std::optional<double> small_bumps;     ///< r.m.s. of z̈_s while |z_e| is below 10 mm [m/s²]; see
                                           ///< has_small_bumps()
    double stuck_share = 0.0;              ///< of time
    double wheel_load_variation = 0.0;     ///< r.m.s. of F_t − F_0 by F_0
    double low_load_share = 0.0;           ///< of time with F_t below 0.2 F_0
    double off_ground_share = 0.0;         ///< of time
    double mean_travel = 0.0;              ///< [m]
    double travel_drift = 0.0;             ///< its mean over the second half less the first [m]
    std::vector<UnitInRide> units;
};

// The series of a ride whose options leave it open.
inline constexpr int least_samples = 1000;
inline constexpr double longest_between_samples = 3e-3; ///< up to most_samples [s]
inline constexpr int most_samples = 20'000;

/// Samples after the first of a series over `duration` [s]: least_samples, or as many as keep them
/// longest_between_samples apart at most, or most_samples.
int samples_of(double duration);

/// Errors are those that a step may make.
struct RideOptions {
    RideOptions() = default;
    explicit RideOptions(Accuracy accuracy);

    double relative_error = 1e-6;
    double pressure_error = 1.0; ///< [Pa]
    double length_error = 1e-9;  ///< of masses and valves [m]
    double speed_error = 3e-8;   ///< of masses [m/s]
    double energy_error = 2e-9;  ///< of what the ground brings in at a time; what leaves open 500 times this
                                 ///< share of its losses is ridden again with smaller errors
    double solved_within = 0.01; ///< of these errors, the equations of a step
    int highest_order = 5;       ///< of the integrator's formulas
    long most_steps = 50'000'000;
    int samples = 0; ///< of the series, 0: samples_of()
    std::stop_token stop = {};
    std::function<void(double)> progress = {}; ///< told the time reached [s]
};

/// Errors name a member of `options` and what is expected of it.
Findings check(const RideOptions& options);

/// A run over an event.
struct Ride {
    std::vector<RideMoment> series; ///< at even times, both ends included
    /// When metrics are reached, most of them between two moments of the series: travel, speed of the rod,
    /// acceleration, wheel load, pressures, voids and forces of the units at their largest and least. Rising
    /// in time.
    std::vector<RideMoment> extremes;
    std::optional<double> begin; ///< time from which means count [s]; none: level ground throughout
    RideMetrics metrics;
    double static_load = 0.0; ///< F_0 [N]
    RideEnergies energy;
    RideLosses losses;
    Balance balance;
    long steps = 0;
    long rates = 0;
    long events = 0;                ///< restarts of the integrator
    std::array<long, 3> switches{}; ///< of friction, of the tyre's contact, of that of metal
};

/// One wheel over an event. The units move together (the two legs of a fork); what they carry is `load`.
/// Throws InputError for numbers that cannot be, of `load` too, for no unit at all and for what cannot be
/// started from rest, SolveError with time and what to try, Stopped, and as require_all_or_none().
Ride run_ride(std::span<const RideUnit> units, const Vehicle& vehicle, const damper::Load& load,
              const Event& event, const RideOptions& options = {});

} // namespace valve::motion
