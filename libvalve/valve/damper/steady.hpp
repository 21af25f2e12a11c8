#pragma once

#include <valve/damper/model.hpp>
#include <valve/damper/onset.hpp>
#include <valve/stack/lift_curve.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::damper {

/// The damper at constant rod speed. Pressures absolute [Pa]; dp positive in the direction of flow.
/// A point that could not be solved carries `error` and no other values but the speed.
struct SteadyPoint {
    double speed = 0.0;         ///< of the rod, positive in compression [m/s]
    double force = 0.0;         ///< on the rod, positive outwards [N]
    double damping_force = 0.0; ///< force less static force [N]
    double static_force = 0.0;  ///< at rest here, without friction [N]
    double p_C = 0.0;
    double p_R = 0.0;
    double p_S = 0.0;
    double dp_base = 0.0;
    double dp_piston = 0.0;
    std::optional<double> refill_deficit; ///< p_S − p_C on rebound [Pa]
    std::optional<double> balance_margin; ///< dp_base − dp_piston = p_R − p_S on compression [Pa]
    std::optional<double> share_base;     ///< of the base valve in the damping force, on compression [-]
    double void_growth = 0.0;             ///< [m³/s]
    std::optional<Chamber> cavitated;
    double headroom_C = 0.0;         ///< p_C − p_cav [Pa]
    double headroom_R = 0.0;         ///< p_R − p_cav [Pa]
    double reservoir_friction = 0.0; ///< F_f/A_s [Pa]
    /// Of the plugs in their cups, part of `force` and `damping_force` [N]; none where the damper has
    /// neither.
    std::optional<double> end_force = std::nullopt;
    std::optional<double> end_pressure = std::nullopt; ///< in the cup, over the chamber around it [Pa]
    /// A cup has run empty as its plug leaves: the pressure in it can fall no lower.
    bool is_cup_empty = false;
    flow::LinkState piston = {};              ///< from C to R, as it is in this state
    std::optional<flow::LinkState> base = {}; ///< from C to S; none where these are one chamber
    double intake = 0.0; ///< oil that S takes in, through the base where there is one [m³/s]
    std::optional<std::string> error;
};

/// Lowest speeds at which a chamber reaches the cavitation pressure, as magnitudes [m/s]; zero from the first
/// movement, none up to the top speed asked.
struct VoidOnset {
    /// That a search found none and ended below the top speed.
    struct End {
        double speed = 0.0; ///< up to which there is none [m/s]
        std::string why;
    };

    std::optional<double> compression;
    std::optional<double> rebound;
    std::optional<End> compression_end = {};
    std::optional<End> rebound_end = {};

    /// Why a search ended, or both; none where neither did.
    std::optional<std::string> error() const;
};

struct CurveOptions {
    std::vector<double> speeds = {};             ///< [m/s]; empty: ±0.02 … ±4, finer near zero
    std::optional<double> travel = std::nullopt; ///< rod travel from full extension [m]; none: mid travel
    RodInto rod_into = RodInto::atmosphere;
    double top_speed = usual_top_speed; ///< of the search for void onset [m/s]
};

/// The part of the travel at which a damper is near full extension: our choice.
inline constexpr double near_extension = 0.1;

/// Steady force and pressures against rod speed.
struct Curve {
    stack::Theory theory = stack::Theory::linear;
    bool bends = false;  ///< stacks are followed as they bend round the ring, see Model::bends()
    double travel = 0.0; ///< [m]
    std::vector<SteadyPoint> points;
    VoidOnset void_onset;                ///< at `travel`
    VoidOnset void_onset_near_extension; ///< at near_extension
};

/// The damper at rod speed `speed` [m/s] and `travel` [m] from full extension.
/// Throws SolveError, with speed and travel, where there is no solution, and what external_pressure() throws.
SteadyPoint steady_point(const Model& model, double speed, double travel,
                         RodInto rod_into = RodInto::atmosphere);

/// Chambers and links of the damper at constant rod speed `speed` [m/s] and `travel` [m], beyond the ends of
/// lift curves, too. Throws SolveError, with speed and travel, where there is no equilibrium.
NetworkState network_state(const Model& model, double speed, double travel);

/// Why steady_point() refuses `state`, of network_state() at `travel`: it rests on more than the lift curves
/// say. Empty where it does not.
std::string refusal(const Model& model, const NetworkState& state, double travel);

/// Onset of voids at `travel` [m], searched up to `top_speed` [m/s].
VoidOnset find_void_onset(const Model& model, double travel, double top_speed);

/// The same where a search is at hand.
VoidOnset find_void_onset(OnsetSearch& search);

/// A search at the travel of `options`, up to its top speed, for what begins on the curve that it asks for.
/// Throws InputError for a travel outside the damper's and where check(options) has an error. `model` must
/// outlive it.
OnsetSearch onset_search(const Model& model, const CurveOptions& options);

/// Force and pressures over speed, with the onset of voids. Speeds in the order asked. Throws as
/// onset_search().
Curve steady_curve(const Model& model, const CurveOptions& options = {});

/// The same at the travel, and up to the top speed, of a `search` at hand, which keeps what it found.
Curve steady_curve(OnsetSearch& search, const std::vector<double>& speeds = {},
                   RodInto rod_into = RodInto::atmosphere);

} // namespace valve::damper
