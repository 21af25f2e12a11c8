#pragma once

#include <valve/study/ride.hpp>

#include <optional>
#include <vector>

namespace valve::study {

// Rules of the trade for rides: common practice, no source.
inline constexpr double small_height = 20e-3; ///< of a bump, up to which it is small [m]
inline constexpr double calm_acceleration =
    2.0; ///< r.m.s. of the sprung mass, up to which small bumps are swallowed [m/s²]
inline constexpr double even_load =
    1.0 / 3.0; ///< r.m.s. of the wheel's load by that at rest, up to which it holds [-]
inline constexpr double ready_travel = 10e-3; ///< that later bumps may find it deeper than the first [m]
inline constexpr double dive_share = 0.1;     ///< of the travel, that braking may take on average [-]
inline constexpr double reserve_share =
    0.05; ///< of the travel, that is left where a hit is held with room [-]
inline constexpr double soft_closing =
    0.5; ///< of the rod as the stop is met, up to which it is met softly [m/s]
/// Of the rod as full extension is met [m/s]. In flight every wheel comes out to its end, and what tops out
/// there is made for that; faster than this it came out undamped, and metal knocks on metal.
inline constexpr double soft_extension = 1.5;

/// What a rider may feel of a ride; beside each, its value and the limit that it was held to.
enum class RideRule {
    swallows,    ///< r.m.s. acceleration over small bumps [m/s²]
    passes_on,   ///< the same, beyond the limit
    grips,       ///< variation of the wheel's load [-]; the amount is the share of time off the ground
    skips,       ///< the same, beyond the limit
    holds_up,    ///< how much deeper later bumps of a row find it [m]
    packs_down,  ///< the same, beyond the limit
    stays_up,    ///< mean travel under braking beyond that at rest [m]; the limit is a travel, too
    dives,       ///< the same, beyond the limit
    has_reserve, ///< travel left after a landing [m]
    uses_nearly_all,
    meets_stop,  ///< speed as the stop is met [m/s], with less than reserve_share of the travel left [m]
    bottoms_out, ///< the same, beyond the limit; or the speed as metal is met, and no amount
    tops_out,    ///< speed as full extension is met [m/s], beyond the limit
};

struct RideRemark {
    RideRule rule = RideRule::has_reserve;
    double value = 0.0;
    double limit = 0.0;
    std::optional<double> amount = std::nullopt;
};

/// What a rider may feel of `ride` over `event`, in the order small bumps, grip, hold-up, dive, bottoming,
/// topping out: of each what the event can tell. None of a ride that failed.
std::vector<RideRemark> for_the_rider(const RideFigures& ride, const motion::Event& event);

} // namespace valve::study
