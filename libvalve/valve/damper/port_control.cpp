#include <valve/damper/port_control.hpp>

namespace valve::damper {

namespace {

constexpr Place piston_place(Stroke stroke) {
    return stroke == Stroke::compression ? Place::piston_compression : Place::piston_rebound;
}

constexpr Place base_place(Stroke stroke) {
    return stroke == Stroke::compression ? Place::base_compression : Place::base_refill;
}

} // namespace

ThroughValves through_valves(const Model& model, const SteadyPoint& point) {
    const Stroke stroke = point.speed < 0.0 ? Stroke::rebound : Stroke::compression;
    const auto through = [&](Place place, const flow::LinkState& state) {
        const std::optional<flow::Valve>& valve = model.setup().valves[place];
        return valve ? flow::through(*valve, model.oil(), state) : std::nullopt;
    };
    ThroughValves valves{through(piston_place(stroke), point.piston), std::nullopt};
    if (point.base) valves.base = through(base_place(stroke), *point.base);
    return valves;
}

std::vector<PortControl> port_control(OnsetSearch& search) {
    std::vector<PortControl> result;
    for (const Place place : all_places) {
        if (!search.model().setup().valves[place]) continue;
        const Onset found = search.ports_lead(place);
        PortControl& control = result.emplace_back(PortControl{place, found.from(), std::nullopt});
        if (found.kind == Onset::Kind::ended) control.error = found.why;
    }
    return result;
}

std::vector<PortControl> port_control(const Model& model, double travel, double top_speed) {
    OnsetSearch search(model, travel, top_speed);
    return port_control(search);
}

} // namespace valve::damper
