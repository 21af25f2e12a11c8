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

void require_wheel(const std::string& file, const setup::Reading& reading) {
    if (!reading.vehicle)
        throw InputError(file +
                         ": error: vehicle: missing: a ride needs the mass of the wheel, e.g. vehicle: "
                         "{unsprung: 16 kg}");
    if (!reading.unit || !reading.unit->support || !reading.unit->support->load)
        throw InputError(file +
                         ": error: support.load: missing: a ride needs the masses on the wheel, and rake, "
                         "motion ratio or linkage");
}

void require_ground(const std::string& file, const motion::Event& event, const motion::Vehicle& vehicle) {
    const std::string where = file + ": error: event.";
    refuse_errors<InputError>(motion::check(event, vehicle.tyre.radius), where);
    refuse_errors<InputError>(motion::check_start(event, vehicle.tyre.radius), where);
}

void require_rides(const std::string& file, const setup::Reading& reading,
                   const std::vector<RideEvent>& events) {
    if (events.empty()) return;
    require_wheel(file, reading);
    for (const RideEvent& event : events)
        require_ground(event->file, event->event, *reading.vehicle);
}

} // namespace valve::study
