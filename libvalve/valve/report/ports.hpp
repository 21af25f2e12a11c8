#pragma once

#include <valve/damper/port_control.hpp>
#include <valve/report/json.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace valve::report {

/// "piston_port_velocity_m_s" and the like, flat, so that they fit a row; null where a valve is shut.
Json json(const damper::ThroughValves& valves);

Json json(const std::vector<damper::PortControl>& ports);

/// When a valve is said to be ruled by its ports.
std::string_view rule_of_ports();

/// A row a valve: where its ports take over, and speeds and Reynolds numbers at the fastest speed asked.
std::string port_table(const std::vector<damper::PortControl>& ports,
                       const std::vector<damper::SteadyPoint>& points,
                       const std::vector<damper::ThroughValves>& through);

} // namespace valve::report
