#include <valve/report/reading.hpp>

#include <fmt/format.h>

#include <optional>

namespace valve::report {

std::vector<NamedValve> valves_of(const setup::Reading& reading) {
    std::vector<NamedValve> valves;
    if (reading.valve) valves.push_back({"valve", &*reading.valve});
    if (reading.unit)
        for (const damper::Place place : damper::all_places)
            if (const std::optional<flow::Valve>& valve = reading.unit->valves[place])
                valves.push_back({std::string(damper::name(place)), &*valve});
    return valves;
}

Json by_valve(const std::string& file, const setup::Reading& reading, const std::vector<Json>& valves) {
    Json object;
    object["title"] = reading.title;
    object["file"] = file;
    if (valves.size() == 1)
        object.update(valves.front());
    else
        object["valves"] = valves;
    object["warnings"] = reading.warnings;
    return object;
}

const damper::SetUp& unit_of(const std::string& file, const setup::Reading& reading) {
    if (reading.unit) return *reading.unit;
    throw InputError(
        fmt::format("{}: the file holds one valve alone (valve:), and this needs a whole damper; "
                    "`valve lift` shows a valve",
                    file));
}

} // namespace valve::report
