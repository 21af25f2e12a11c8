#pragma once

#include <valve/study/causes.hpp>
#include <valve/study/curve.hpp>
#include <valve/study/support.hpp>

#include <optional>
#include <vector>

namespace valve::study {

// Rules of the trade: common practice, no source.
inline constexpr double stony_speed = 2.0;      ///< of the rod, that rough ground brings all day [m/s]
inline constexpr double hanging_speed = 1.0;    ///< of the rod, coming back near full extension [m/s]
inline constexpr double slow_speed = 0.5;       ///< of the rod, below which a movement is slow [m/s]
inline constexpr double hard_speed = 2.0;       ///< of the rod, from which a hit is hard [m/s]
inline constexpr double sticky_share = 0.05;    ///< of the load carried, that breakaway may take [-]
inline constexpr double usual_sag_least = 0.25; ///< of the travel [-]
inline constexpr double usual_sag_most = 0.35;
inline constexpr double first_part = 0.3; ///< of the travel, where it starts [-]
inline constexpr double last_part = 0.7;  ///< of the travel, from which on it ends [-]

/// What a rider may feel; beside each, what the value of its remark is, and the limit that it was held to.
enum class RiderRule {
    // of a set-up
    hollow_return,    ///< onset of voids on rebound, within stony_speed [m/s]
    hollow_when_fast, ///< the same, beyond it
    follows,          ///< no onset up to the limit, the top speed [m/s]
    hollow_hanging,   ///< onset near full extension, within hanging_speed [m/s]
    empties_inwards,  ///< onset of voids on compression [m/s]
    rod_valve_leads,  ///< speed from which the balance margin is below 0 [m/s]
    settles, ///< sag by travel, of the wheel [-]; the limit is the end of the usual range that it passes, if
             ///< it does
    sticks,  ///< breakaway by load carried, beyond sticky_share [-]
    bottoms, ///< energy of a hit that uses all travel [J]
    // of a change
    return_changed,      ///< voids on rebound
    hanging_changed,     ///< voids near full extension
    turn_changed,        ///< voids on compression
    lead_changed,        ///< balance margin below 0
    damping_changed,     ///< damping force
    support_changed,     ///< support over the travel
    last_part_changed,   ///< support near the end of the travel, the first part being as before
    sag_changed,         ///< sag with the rider
    friction_changed,    ///< friction of the whole, or of the reservoir on the rod
    hit_changed,         ///< travel that a hit uses
    dead_travel_changed, ///< dead travel in a cycle
    figure_changed,      ///< the largest there is, a noticeable step or more of what no other rule is about
    small_change,        ///< the largest there is, less than a noticeable step
    nothing_changed      ///< every figure is what it was
};

/// A rule that holds, with its numbers.
struct RiderRemark {
    RiderRule rule = RiderRule::nothing_changed;
    std::optional<double> value = std::nullopt;
    std::optional<double> limit = std::nullopt;
    std::optional<double> amount = std::nullopt; ///< of `settles` the sag [m], of `sticks` the breakaway [N]
    std::optional<Change> change = std::nullopt; ///< of rules that are of a change
    std::optional<double> at_wheel = std::nullopt; ///< of `settles` the sag of a rear wheel [m]
};

/// What a rider may feel of a set-up. `support` null: the file says nothing of springs.
std::vector<RiderRemark> for_the_rider(const CurveResult& curve, const SupportResult* support);

/// What has become different from the unit as found, most noticeable first, each feeling once: changes of one
/// noticeable step at least, and a last part that became firmer or softer by itself; else the largest that
/// there is, by its number. Of figures that all stay nothing is said where keys changed that none of them
/// rests on.
std::vector<RiderRemark> for_the_rider(const Variant& variant);

} // namespace valve::study
