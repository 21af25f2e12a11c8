#pragma once

#include <valve/damper/port_control.hpp>
#include <valve/report/json.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace valve::report {

/// Areas of a valve's ports beside what they serve.
struct PortAreas {
    double ports = 0.0;     ///< all of them [m²]
    double of_piston = 0.0; ///< their share of the piston's area [-]
    double of_rod = 0.0;    ///< their size by the rod's area [-]
    double speed_up = 0.0;  ///< oil speed in the ports by rod speed, all flow through them [-]
};

/// Of the valve at `place`, which is there.
PortAreas port_areas(const damper::SetUp& unit, damper::Place place);

/// "piston_port_velocity_m_s" and the like, flat, so that they fit a row; null where a valve is shut.
Json json(const damper::ThroughValves& valves);

Json json(const std::vector<damper::PortControl>& ports);

/// When a valve is said to be ruled by its ports.
std::string_view rule_of_ports();

/// Valves that are there to damp and whose ports lead below the fastest speed asked in their direction.
std::vector<std::string> port_warnings(const std::vector<damper::PortControl>& ports,
                                       const std::vector<damper::SteadyPoint>& points);

/// A row a valve: where its ports take over, and speeds and Reynolds numbers at the fastest speed asked.
std::string port_table(const std::vector<damper::PortControl>& ports,
                       const std::vector<damper::SteadyPoint>& points,
                       const std::vector<damper::ThroughValves>& through);

} // namespace valve::report
