#include <valve/damper/geometry.hpp>
#include <valve/study/ports.hpp>

#include <cmath>
#include <string>

namespace valve::study {

using damper::Place;

PortAreas port_areas(const damper::SetUp& unit, Place place) {
    const double ports = flow::opening(unit.valves[place]->ports).area;
    const double piston = damper::piston_area(unit.cartridge);
    const double rod = damper::rod_area(unit.cartridge);
    return {ports, ports / piston, ports / rod, (at_piston(place) ? piston - rod : rod) / ports};
}

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

std::vector<Warning> port_warnings(const std::vector<damper::PortControl>& ports) {
    std::vector<Warning> warnings;
    for (const damper::PortControl& port : ports) {
        if (port.place == Place::base_refill || !port.from)
            continue; // a check plate is to get out of the way
        warnings.push_back({.kind = WarningKind::ports_choke,
                            .place = std::string(damper::name(port.place)),
                            .speed = port.from});
    }
    return warnings;
}

} // namespace valve::study
