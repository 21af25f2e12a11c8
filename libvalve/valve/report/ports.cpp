#include <valve/damper/geometry.hpp>
#include <valve/report/ports.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace valve::report {

namespace {

using damper::Place;

/// Index of the fastest solved point in the direction in which the valve at `place` opens.
std::optional<std::size_t> fastest(const std::vector<damper::SteadyPoint>& points, Place place) {
    std::optional<std::size_t> found;
    for (std::size_t i = 0; i < points.size(); ++i) {
        const bool opens =
            stroke_of(place) == damper::Stroke::compression ? points[i].speed > 0.0 : points[i].speed < 0.0;
        if (!opens || points[i].error) continue;
        if (!found || std::abs(points[i].speed) > std::abs(points[*found].speed)) found = i;
    }
    return found;
}

void add(Json& object, const std::string& valve, const std::optional<flow::Through>& through) {
    const auto value = [&](double flow::Through::*member) {
        return through ? Json((*through).*member) : Json(nullptr);
    };
    object[valve + "_port_velocity_m_s"] = value(&flow::Through::port_velocity);
    object[valve + "_port_reynolds"] = value(&flow::Through::port_reynolds);
    object[valve + "_port_loss_Pa"] = value(&flow::Through::port_loss);
    object[valve + "_curtain_velocity_m_s"] = value(&flow::Through::curtain_velocity);
    object[valve + "_curtain_reynolds"] = value(&flow::Through::curtain_reynolds);
    object[valve + "_curtain_loss_Pa"] = value(&flow::Through::curtain_loss);
}

std::string onset(const damper::PortControl& port) {
    return port.from ? fixed(*port.from, 2) : port.error ? "unsolved" : "none";
}

} // namespace

PortAreas port_areas(const damper::SetUp& unit, Place place) {
    const double ports = flow::opening(unit.valves[place]->ports).area;
    const double piston = damper::piston_area(unit.cartridge);
    const double rod = damper::rod_area(unit.cartridge);
    return {ports, ports / piston, ports / rod, (at_piston(place) ? piston - rod : rod) / ports};
}

Json json(const damper::ThroughValves& valves) {
    Json object;
    add(object, "piston", valves.piston);
    add(object, "base", valves.base);
    refuse_non_finite(object);
    return object;
}

Json json(const std::vector<damper::PortControl>& ports) {
    Json list = Json::array();
    for (const damper::PortControl& port : ports) {
        Json entry;
        entry["valve"] = damper::name(port.place);
        entry["ports_lead_from_m_s"] = or_null(port.from);
        entry["error"] = or_null(port.error);
        list.push_back(entry);
    }
    return list;
}

std::string_view rule_of_ports() {
    return "A valve chokes where its ports lose more pressure than the curtain under its face shim: from "
           "that rod speed on the ports set the force and the shims change little.";
}

std::vector<std::string> port_warnings(const std::vector<damper::PortControl>& ports,
                                       const std::vector<damper::SteadyPoint>& points) {
    std::vector<std::string> warnings;
    for (const damper::PortControl& port : ports) {
        if (port.place == Place::base_refill) continue; // a check plate is to get out of the way
        const std::optional<std::size_t> point = fastest(points, port.place);
        if (!point || !port.from || *port.from >= std::abs(points[*point].speed)) continue;
        warnings.push_back(fmt::format("{} chokes in its ports from {} m/s, below the {} m/s asked",
                                       damper::name(port.place), fixed(*port.from, 2),
                                       metres_a_second(std::abs(points[*point].speed))));
    }
    return warnings;
}

std::string port_table(const std::vector<damper::PortControl>& ports,
                       const std::vector<damper::SteadyPoint>& points,
                       const std::vector<damper::ThroughValves>& through) {
    Table table({{"valve", "", true},
                 {"chokes from", "m/s"},
                 {"at", "m/s"},
                 {"port loss", "%"},
                 {"port speed", "m/s"},
                 {"Re", ""},
                 {"curtain speed", "m/s"},
                 {"Re", ""}});
    for (const damper::PortControl& port : ports) {
        const std::optional<std::size_t> point = fastest(points, port.place);
        std::optional<flow::Through> valve;
        if (point) valve = at_piston(port.place) ? through.at(*point).piston : through.at(*point).base;
        const std::string at = point ? metres_a_second(points[*point].speed) : "-";
        std::vector<std::string> cells{std::string(damper::name(port.place)), onset(port), at};
        if (valve) {
            for (const std::string& cell :
                 {fixed(valve->port_share() * 100.0, 0), fixed(valve->port_velocity, 1),
                  fixed(valve->port_reynolds, 0), fixed(valve->curtain_velocity, 1),
                  fixed(valve->curtain_reynolds, 0)})
                cells.push_back(cell);
        } else {
            cells.insert(cells.end(), 5, "-");
        }
        table.add(cells);
    }
    return table.text();
}

} // namespace valve::report
