#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/damper/steady.hpp>
#include <valve/setup/read.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::study {

/// Whether the balance margin says which valve should lead. Without base valves none can, and in a shock with
/// gas behind C the margin may well be negative: there the headroom of R decides.
bool margin_decides(const damper::SetUp& setup);

/// One number of a set-up that moves the balance margin, in steps that a bench can make.
enum class LeadBy {
    mid_valve_float, ///< more of it, by lead_float_step a step
    base_face_shims, ///< one more like the base valve's face shim
    mid_valve_shims  ///< one face shim less on the mid-valve; with a sleeve that gives float back
};

inline constexpr double lead_float_step = 0.01e-3; ///< [m]
inline constexpr double lead_float_limit = 1.5e-3; ///< no more float is tried than this [m]
inline constexpr int lead_shim_limit = 8;          ///< nor more shims added

/// What one such number does. Found by bisection: with one step less, the margin is below zero.
struct LeadChange {
    LeadBy by = LeadBy::mid_valve_float;
    int most = 0;                     ///< steps up to which was looked
    std::optional<int> steps;         ///< that bring the margin to zero or above; none up to `most`
    double margin = 0.0;              ///< with `steps`, or else with `most` [Pa]
    double damping_force = 0.0;       ///< likewise [N]
    std::optional<std::string> error; ///< why the search broke off; then there are no values
    std::string key = {};             ///< dotted, that the change edits
    double from = 0.0;                ///< float [m], or shims, as it is
    double to = 0.0;                  ///< with `steps`, or else with `most`
    double float_given_back = 0.0;    ///< by shims taken off a sleeve [m]
};

/// The balance of a damper at one compression speed, and the single changes that would restore it.
struct Lead {
    double speed = 0.0;              ///< [m/s]
    double travel = 0.0;             ///< [m]
    double margin = 0.0;             ///< as it is [Pa]; p_cav − p_S where R is empty, and no less
    bool is_empty = false;           ///< R holds a void
    double damping_force = 0.0;      ///< as it is [N]
    std::vector<LeadChange> changes; ///< none where the base valve leads, or need not
    /// Share of the ports in the mid-valve's loss [-], above a half where it chokes in them; none where it is
    /// missing or shut.
    std::optional<double> mid_valve_port_share = std::nullopt;

    bool mid_valve_chokes() const { return mid_valve_port_share.value_or(0.0) > 0.5; }
};

/// The set-up after `steps` of `by`, edited by key: of a mid-valve on a sleeve the sleeve is what gives more
/// float. Throws std::invalid_argument where there is nothing to step.
setup::Document stepped(const setup::Reading& reading, LeadBy by, int steps);

/// Looks for the changes to the damper of `reading`, which knows what was written. Throws
/// std::invalid_argument unless `speed` is positive, and as LiftCache::model() and steady_point() for the
/// set-up as it is.
Lead find_lead(const setup::Reading& reading, double speed, double travel, damper::LiftCache& lifts);

} // namespace valve::study
