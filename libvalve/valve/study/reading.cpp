#include <valve/study/reading.hpp>

#include <fmt/format.h>

#include <optional>

namespace valve::study {

std::vector<NamedValve> valves_of(const setup::Reading& reading) {
    std::vector<NamedValve> valves;
    if (reading.valve) valves.push_back({"valve", &*reading.valve});
    if (reading.unit)
        for (const damper::Place place : damper::all_places)
            if (const std::optional<flow::Valve>& valve = reading.unit->valves[place])
                valves.push_back({std::string(damper::name(place)), &*valve});
    return valves;
}

const damper::SetUp& unit_of(const std::string& file, const setup::Reading& reading) {
    if (reading.unit) return *reading.unit;
    throw InputError(
        fmt::format("{}: the file holds one valve alone (valve:), and this needs a whole damper; "
                    "`valve lift` shows a valve",
                    file));
}

} // namespace valve::study
