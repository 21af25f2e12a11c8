#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/damper/onset.hpp>
#include <valve/setup/read.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::study {

/// From where a stack that is followed as it bends is not round, and how far that goes.
struct Unevenness {
    std::string place;       ///< the valve: "piston.rebound"
    bool over_ports = false; ///< ports that are windows bend it; else the round shape buckles into waves
    int waves = 0;           ///< repeats round the ring
    /// On the face shim [Pa]: where the waves begin; over ports where the shim opens at the middle of a port.
    double pressure = 0.0;
    std::optional<double> speed = std::nullopt; ///< of the rod there [m/s]; none for a valve alone
    /// Over ports, where the land lets go half-way between two as well; none where it does not [Pa], [m/s].
    std::optional<double> land_pressure = std::nullopt;
    std::optional<double> land_speed = std::nullopt;
    std::optional<double> top_speed = std::nullopt; ///< of the search [m/s]; none for a valve alone
    double highest_pressure = 0.0; ///< on the face shim up to there; of a valve alone where its law ends [Pa]
    /// Lift at the seat at that pressure [m]: mean round the ring, at the crests and in the troughs, which
    /// over ports are the middle of a port and half-way between two. None where nothing is known there.
    std::optional<double> mean = std::nullopt;
    std::optional<double> crest = std::nullopt;
    std::optional<double> trough = std::nullopt;
};

/// Of the valves whose law follows the stack as it bends, those that are not round up to the top speed of the
/// search. Speeds are magnitudes, and roots whatever speeds are asked elsewhere. Throws as LiftCache::laws().
std::vector<Unevenness> unevenness(damper::OnsetSearch& search, damper::LiftCache& lifts);

/// The same of a file: of a damper at mid travel up to damper::usual_top_speed, of a valve alone by pressure.
/// Nothing where a stack or the damper is not solved.
std::vector<Unevenness> unevenness(const setup::Reading& reading, damper::LiftCache& lifts);

} // namespace valve::study
