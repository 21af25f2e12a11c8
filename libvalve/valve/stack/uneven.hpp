#pragma once

#include <valve/stack/lift_curve.hpp>
#include <valve/stack/lift_law.hpp>

#include <optional>

namespace valve::stack {

/// Whether a stack is taken for round whatever its windows and waves: a disc does not bend, a guided float
/// stays level, linear plates do not buckle.
inline bool is_taken_for_round(const Stack& stack, Theory theory) {
    const bool stays_level = stack.floating && stack.edge == InnerEdge::guided;
    return stack.disc || stays_level || theory == Theory::linear;
}

/// A stack as it bends round the ring: over ports that are windows, or where the round shape has buckled into
/// waves. Shims may lie on the land, the stop and one another here and be free there.
///
/// Over windows the shape repeats with the ports, whatever other waves might grow out of it; else with the
/// waves of the least pressure that the round shape buckles into.
struct UnevenLift {
    /// Lifts and forces are means round the ring and sums; the stress is the largest anywhere; `rate_before`
    /// and `rate_after` are left out.
    LiftPoint state;
    int waves = 0;          ///< repeats round the ring
    double crest = 0.0;     ///< largest lift at the seat [m]
    double trough = 0.0;    ///< smallest; 0 where the shim still lies on the land [m]
    double mid_port = 0.0;  ///< at the middle of a port; without windows the crest [m]
    double mid_land = 0.0;  ///< half-way between two ports; without windows the trough [m]
    double open_arcs = 0.0; ///< mean over the arcs of the ports; without windows of the ring [m]
};

/// Where the land lets go of a shim over windows.
struct UnevenCrack {
    std::optional<double> mid_port; ///< at the middle of a port, first [Pa]; none up to the end
    std::optional<double> mid_land; ///< half-way between two ports, last [Pa]; none up to the end
};

/// The flow law of a stack that is not round, at one pressure.
struct UnevenLawValue {
    LiftLaw::Value ring;      ///< mean lift round the ring
    LiftLaw::Value open_arcs; ///< over the arcs of the ports; without windows round the ring
    bool beyond_end = false;  ///< beyond the end of the law lifts go on along their last slopes
};

/// From where limits of the strip are passed.
struct StressLimits {
    std::optional<StressLimit> set;
    std::optional<StressLimit> fatigue;
};

} // namespace valve::stack
