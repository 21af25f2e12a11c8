#pragma once

#include <valve/damper/port_control.hpp>
#include <valve/study/warning.hpp>

#include <cstddef>
#include <optional>
#include <vector>

namespace valve::study {

/// Areas of a valve's ports beside what they serve.
struct PortAreas {
    double ports = 0.0;     ///< all of them [m²]
    double of_piston = 0.0; ///< their share of the piston's area [-]
    double of_rod = 0.0;    ///< their size by the rod's area [-]
    double speed_up = 0.0;  ///< oil speed in the ports by rod speed, all flow through them [-]
};

/// Of the valve at `place`, which is there.
PortAreas port_areas(const damper::SetUp& unit, damper::Place place);

/// Index of the fastest solved point in the direction in which the valve at `place` opens.
std::optional<std::size_t> fastest(const std::vector<damper::SteadyPoint>& points, damper::Place place);

/// Valves that are there to damp and whose ports lead at some speed of the search.
std::vector<Warning> port_warnings(const std::vector<damper::PortControl>& ports);

} // namespace valve::study
