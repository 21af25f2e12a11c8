#pragma once

#include <valve/damper/steady.hpp>
#include <valve/flow/through.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::damper {

/// The valves that open in a direction of the rod; none where there is no valve or it is shut.
struct ThroughValves {
    std::optional<flow::Through> piston;
    std::optional<flow::Through> base;
};

/// What flows through the valves at `point`, a solved one of steady_point().
ThroughValves through_valves(const Model& model, const SteadyPoint& point);

/// Where a valve passes from its shims to its ports.
struct PortControl {
    Place place = Place::base_compression;
    /// Lowest rod speed, as a magnitude, at which the ports lose more pressure than the curtain [m/s]; zero
    /// from the first movement, none up to the top speed.
    std::optional<double> from;
    std::optional<std::string> error; ///< why the search ended below the top speed
};

/// The same for every valve there is, at `travel` [m], searched up to `top_speed` [m/s].
std::vector<PortControl> port_control(const Model& model, double travel, double top_speed);

/// The same at the travel and up to the top speed of a search at hand, which keeps what it found.
std::vector<PortControl> port_control(OnsetSearch& search);

} // namespace valve::damper
