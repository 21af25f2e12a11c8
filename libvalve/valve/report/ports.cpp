#include <valve/report/curve_fields.hpp>
#include <valve/report/ports.hpp>
#include <valve/report/text.hpp>
#include <valve/study/ports.hpp>

#include <fmt/format.h>

#include <optional>

namespace valve::report {

namespace {

std::string onset(const damper::PortControl& port) {
    return port.from ? fixed(*port.from, 2) : port.error ? "unsolved" : "none";
}

} // namespace

Json json(const damper::ThroughValves& valves) {
    Json object;
    add_fields(object, through_fields(), valves);
    return object;
}

Json json(const std::vector<damper::PortControl>& ports) {
    Json list = Json::array();
    for (const damper::PortControl& port : ports) {
        Json entry;
        add_fields(entry, port_fields(), port);
        list.push_back(entry);
    }
    return list;
}

std::string_view rule_of_ports() {
    return "A valve chokes where its ports lose more pressure than the curtain under its face shim: from "
           "that rod speed on the ports set the force and the shims change little.";
}

std::string port_table(const std::vector<damper::PortControl>& ports,
                       const std::vector<damper::SteadyPoint>& points,
                       const std::vector<damper::ThroughValves>& through) {
    Table table({{"valve", "", true},
                 column(field_of(port_fields(), "ports_lead_from_m_s")),
                 {"at", "m/s"},
                 {"port loss", "%"},
                 column(field_of(through_fields(), "piston_port_velocity_m_s")),
                 column(field_of(through_fields(), "piston_port_reynolds")),
                 column(field_of(through_fields(), "piston_curtain_velocity_m_s")),
                 column(field_of(through_fields(), "piston_curtain_reynolds"))});
    for (const damper::PortControl& port : ports) {
        const std::optional<std::size_t> point = study::fastest(points, port.place);
        std::vector<std::string> cells{std::string(damper::name(port.place)), onset(port),
                                       point ? metres_a_second(points[*point].speed) : "-"};
        const std::string side = at_piston(port.place) ? "piston_" : "base_";
        const damper::ThroughValves valves = point ? through.at(*point) : damper::ThroughValves{};
        const std::optional<flow::Through>& valve = at_piston(port.place) ? valves.piston : valves.base;
        cells.push_back(valve ? fixed(valve->port_share() * 100.0, 0) : "-");
        for (const char* key :
             {"port_velocity_m_s", "port_reynolds", "curtain_velocity_m_s", "curtain_reynolds"})
            cells.push_back(cell(field_of(through_fields(), side + key), valves));
        table.add(cells);
    }
    return table.text();
}

} // namespace valve::report
