#include "rides.hpp"

#include <algorithm>

#include "messages.hpp"
#include "usage.hpp"

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

void RideOptions::require_ridden(const std::vector<valve::study::FigureRequest>& figures) const {
    const bool rides = !events.empty() || std::any_of(figures.begin(), figures.end(), [](const auto& figure) {
        return static_cast<bool>(figure.event);
    });
    if (!valves.empty() && !rides)
        throw UsageError("--valves: belongs to events; nothing that was asked for is ridden");
}

std::optional<valve::motion::Valves> RideOptions::how() const {
    return valves_in_time(valves);
}

std::optional<valve::motion::Valves> valves_in_time(const std::string& valves) {
    if (valves.empty()) return std::nullopt;
    using valve::motion::Valves;
    return valves == name(Valves::moving) ? Valves::moving : Valves::quasi_static;
}

void add_rides(const Command& command, RideOptions& options, const std::string& description) {
    command.add_option("--event", options.events, description).option_text("EVENT.yaml");
    add_valves_in_time(command, options.valves);
}

void add_valves_in_time(const Command& command, std::string& valves) {
    command.add_choice(
        "--valves", {"moving", "quasi-static"}, valves,
        "moving: valves have mass, sweep oil and speed up that in their ports; quasi-static: they follow the "
        "pressure at once, some times faster to compute; default: moving, where every valve can");
}

} // namespace program
