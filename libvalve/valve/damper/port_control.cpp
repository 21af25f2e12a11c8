#include <valve/damper/port_control.hpp>

#include <algorithm>
#include <cmath>

namespace valve::damper {

namespace {

constexpr Place piston_place(Stroke stroke) {
    return stroke == Stroke::compression ? Place::piston_compression : Place::piston_rebound;
}

constexpr Place base_place(Stroke stroke) {
    return stroke == Stroke::compression ? Place::base_compression : Place::base_refill;
}

std::optional<flow::Through> through_piston(const Model& model, const SteadyPoint& point, Stroke stroke) {
    const std::optional<flow::Valve>& valve = model.setup().valves[piston_place(stroke)];
    if (!valve) return std::nullopt;
    const flow::Passage& passage = model.piston(stroke);
    // With R empty the piston passes less than its annulus sweeps.
    const bool starved = point.cavitated == Chamber::R;
    return flow::through(*valve, model.oil(),
                         starved ? passage.at_pressure(std::min(point.dp_piston, passage.end().dp))
                                 : passage.at_flow(model.annulus_area() * std::abs(point.speed)));
}

std::optional<flow::Through> through_base(const Model& model, const SteadyPoint& point, Stroke stroke) {
    const std::optional<flow::Valve>& valve = model.setup().valves[base_place(stroke)];
    const flow::Passage* passage = model.base(stroke);
    if (!valve || passage == nullptr) return std::nullopt;
    // With C empty the base passes less than the rod displaces, with R empty more.
    return flow::through(*valve, model.oil(),
                         point.cavitated ? passage->at_pressure(std::min(point.dp_base, passage->end().dp))
                                         : passage->at_flow(model.rod_area() * std::abs(point.speed)));
}

/// Whether the ports of the valve at `place` lead at the rod speed `speed` > 0.
bool ports_lead(const Model& model, Place place, double speed, double travel) {
    const double sign = stroke_of(place) == Stroke::compression ? 1.0 : -1.0;
    const ThroughValves valves = through_valves(model, steady_point(model, sign * speed, travel));
    const std::optional<flow::Through>& valve = at_piston(place) ? valves.piston : valves.base;
    return valve && valve->port_loss > valve->curtain_loss;
}

PortControl port_control(const Model& model, Place place, double travel, double top_speed) {
    constexpr double slowest = 0.01;   // [m/s]
    constexpr double step = 1.1;       // from speed to speed of the scan
    constexpr double accuracy = 0.001; // [m/s]
    PortControl result{place, std::nullopt, std::nullopt};
    try {
        double below = 0.0;
        double speed = std::min(slowest, top_speed);
        while (!ports_lead(model, place, speed, travel)) {
            if (speed >= top_speed) return result;
            below = speed;
            speed = std::min(step * speed, top_speed);
        }
        while (speed - below > accuracy) {
            const double middle = 0.5 * (below + speed);
            (ports_lead(model, place, middle, travel) ? speed : below) = middle;
        }
        result.from = speed;
    } catch (const SolveError& error) {
        result.error = error.what();
    }
    return result;
}

} // namespace

ThroughValves through_valves(const Model& model, const SteadyPoint& point) {
    const Stroke stroke = point.speed < 0.0 ? Stroke::rebound : Stroke::compression;
    return {through_piston(model, point, stroke), through_base(model, point, stroke)};
}

std::vector<PortControl> port_control(const Model& model, double travel, double top_speed) {
    std::vector<PortControl> result;
    for (const Place place : all_places)
        if (model.setup().valves[place]) result.push_back(port_control(model, place, travel, top_speed));
    return result;
}

} // namespace valve::damper
