#include "rides.hpp"

#include "messages.hpp"

namespace program {

std::vector<valve::study::RideEvent> RideOptions::load() const {
    std::vector<valve::study::RideEvent> list;
    for (const std::string& file : events) {
        list.push_back(valve::study::RideEvent::load(file));
        for (const std::string& warning : list.back()->warnings)
            log_warning(warning);
    }
    return list;
}

std::optional<valve::motion::Valves> RideOptions::how() const {
    return ride_valves(valves);
}

std::optional<valve::motion::Valves> ride_valves(const std::string& valves) {
    if (valves.empty()) return std::nullopt;
    return valves == "moving" ? valve::motion::Valves::moving : valve::motion::Valves::quasi_static;
}

void add_rides(const Command& command, RideOptions& options, const std::string& description) {
    command.add_option("--event", options.events, description).option_text("EVENT.yaml");
    add_ride_valves(command, options.valves);
}

void add_ride_valves(const Command& command, std::string& valves) {
    command.add_choice(
        "--valves", {"moving", "quasi-static"}, valves,
        "moving: valves have mass and sweep oil; quasi-static: they follow the pressure at once, some times "
        "faster to compute; default: moving, where every valve can");
}

} // namespace program
