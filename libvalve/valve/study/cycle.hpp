#pragma once

#include <valve/core/error.hpp>
#include <valve/damper/lift_cache.hpp>
#include <valve/motion/cycle.hpp>
#include <valve/study/swinging.hpp>

#include <array>
#include <functional>
#include <optional>
#include <stop_token>
#include <string>
#include <vector>

namespace valve::study {

/// How the valves of a run move, and why so where it was not asked for.
struct ValvesInTime {
    motion::Valves kind = motion::Valves::quasi_static;
    std::string because; ///< empty where it was asked for, or all can move
    /// Whether stacks are followed as they bend round the ring; if not, all are taken for round.
    bool bends = false;
    /// Valves whose stacks buckle within the run into waves that were not found, and so stay round.
    std::vector<damper::Place> left_round = {};
};

struct CycleQuestion {
    std::vector<motion::Input> inputs;                   ///< one cycle each
    std::optional<motion::Valves> valves = std::nullopt; ///< none: moving where every valve can
    damper::RodInto rod_into = damper::RodInto::atmosphere;
    bool finds_swings = false;   ///< whether to look for the speeds from which valves swing by themselves
    double errors_allowed = 1.0; ///< to a step, by the usual ones; tells how far figures hold
    std::stop_token stop = {};
    std::function<void(std::size_t input, double time)> progress = {}; ///< called by several threads
};

/// One valve over a cycle.
struct ValveInCycle {
    damper::Place place = damper::Place::base_compression;
    double largest_lift = 0.0;        ///< [m]
    std::optional<double> shut_after; ///< for good, from the reversal that ends its stroke; before it:
                                      ///< negative [s]; none: never open, or never shut
    /// Through its ports, from the reversal until it is shut, and the part of it under the shim; the rest is
    /// swept [m³]. None where it stays open to the end of what is known of it.
    std::optional<double> run_back;
    std::optional<double> run_back_curtain;
    double energy = 0.0; ///< lost there in a cycle [J]
    int swings = 0;      ///< in a cycle, by motion::SwingCount; 1: it opens once
};

/// How far the figures of a cycle hold: seen on the demos at 1, 4 and 12 Hz beside runs with a tenth of the
/// errors allowed. Less where a valve rings about the 90 % that dead travel is read at, or bounces on its
/// seat.
struct CycleErrors {
    double force = 1e-4;       ///< of a peak [-]
    double dead_travel = 1e-5; ///< [m]
    double time = 5e-5;        ///< when a valve has shut [s]
    double void_volume = 1e-9; ///< [m³]
};

// When valves are told to swing by themselves: our choice, no source.
inline constexpr int ringing_swings = 10;       ///< in a cycle, or in one stroke of the rod on a ride
inline constexpr double far_above_steady = 0.1; ///< of the steady force

/// Whether a force of `size` is so far above the steady one [N]; not where there is none.
bool is_far_above_steady(double size, const std::optional<double>& steady);

/// What sums up one cycle. Compression and rebound are the strokes with the greatest speeds.
struct CycleFigures : motion::Extremes {
    std::optional<double> frequency; ///< [Hz]; none of what is run through once
    motion::Wave wave = motion::Wave::sine;
    double stroke = 0.0;                            ///< [m]
    double peak_speed = 0.0;                        ///< [m/s]
    double middle = 0.0;                            ///< travel [m]
    double peak_force_compression = 0.0;            ///< largest force on the rod [N]
    double peak_force_rebound = 0.0;                ///< smallest
    std::optional<double> steady_force_compression; ///< at the peak speed, where it is reached [N]
    std::optional<double> steady_force_rebound;
    double energy = 0.0; ///< that the rod brings in a cycle: of what ends elsewhere, stored energy too [J]
    double lost = 0.0;   ///< of it, in valves, bleeds, friction and cups [J]
    /// From the reversal until the damping force has come up to 90 % of its steady value [m]: at constant
    /// speed for the first time, else for good until the peak speed. None: not reached before it.
    std::optional<double> dead_travel_compression;
    std::optional<double> dead_travel_rebound;
    /// Where the force was back before, and dips below 90 % once more, though not below shallow_dip: dead
    /// travel but for such dips [m], if less by least_dip or more.
    std::optional<double> but_for_dips_compression;
    std::optional<double> but_for_dips_rebound;
    double void_time_C = 0.0; ///< of a cycle [s]
    double void_time_R = 0.0;
    std::vector<ValveInCycle> valves;
    double base_bleeds = 0.0; ///< [J]
    double piston_bleeds = 0.0;
    double friction = 0.0;
    double cups = 0.0;
    double heating = 0.0;          ///< mean power lost [W]
    double temperature_rise = 0.0; ///< a minute, nothing given off [K/min]
    motion::Cycle cycle;
    std::optional<std::string> error; ///< then nothing else holds but what was asked

    /// Whether a peak force is so far above the steady one at the peak speed.
    bool is_far_above_steady() const;

    /// Whether it is where valves swing, which forces and dead travel then tell of.
    bool swings_tell() const;
};

struct CycleStudy {
    ValvesInTime valves;
    damper::RodInto rod_into = damper::RodInto::atmosphere;
    stack::Theory theory = stack::Theory::linear;
    std::vector<CycleFigures> cycles; ///< in the order of the inputs
    /// Where asked for, up to the largest speed of the cycles, at the middle of that one.
    std::vector<SwingOnset> swings;

    /// Some cycle has no result.
    bool failed() const;
};

/// Heat capacity of the oil that `temperature_rise` stands on [J/(kg K)]: mineral oil near 40 °C, from
/// memory.
inline constexpr double oil_heat_capacity = 1950.0;

inline constexpr double quickest_cycle = 500.0; ///< that is asked for [Hz]

// Of a cycle where none is given.
inline constexpr double most_usual_stroke = 60e-3;   ///< [m]
inline constexpr double usual_share_of_travel = 0.4; ///< [-]
inline constexpr double usual_ramp_speed = 0.5;      ///< [m/s]

/// The stroke of a cycle where none is given: most_usual_stroke, or usual_share_of_travel where that is less
/// [m].
double usual_stroke(const damper::SetUp& setup);

/// Of cycles where none are given [Hz].
inline constexpr std::array<double, 3> usual_frequencies{1.0, 4.0, 12.0};

/// Sines of the usual stroke about mid travel at the usual frequencies.
CycleQuestion usual_cycles(const damper::SetUp& setup, damper::RodInto rod_into);

/// Runs `setup` through the inputs, as many at once as the machine has cores; the results do not depend on
/// how many. A cycle that cannot be run carries its reason. Throws InputError for what cannot be asked of the
/// set-up (valves that cannot move), motion::Stopped, and as damper::LiftCache::model().
CycleStudy cycle_study(const damper::SetUp& setup, damper::LiftCache& cache, const CycleQuestion& question);

/// What to throw where valves were asked to move, and `reason` of motion::moving_valves() says why they
/// cannot.
InputError cannot_move(const SolveError& reason);

/// Of the valves of `setup`, which have lifted as far as `lifts` [m] in the order of damper::all_places,
/// those whose stacks buckle below that and stay round all the same, since no other shape was found.
std::vector<damper::Place> left_round(const damper::SetUp& setup, const std::array<double, 4>& lifts,
                                      damper::LiftCache& cache);

/// The largest lift of `valve` where it was `lift`, which of a disc ends at its stop: in time a stop is
/// touched a little beyond it [m].
double up_to_stop(const flow::Valve& valve, double lift);

/// The figures of one cycle that was run.
CycleFigures figures_of(const damper::Model& model, const motion::Input& input, damper::RodInto rod_into,
                        motion::Cycle cycle);

} // namespace valve::study
