#include <valve/core/error.hpp>
#include <valve/study/reading.hpp>
#include <valve/study/stress.hpp>
#include <valve/study/unevenness.hpp>

#include <memory>

namespace valve::study {

namespace {

/// What pressures alone tell, up to `highest` [Pa]; none where the valve stays round there.
std::optional<Unevenness> by_pressure(const std::string& place, const flow::Valve& valve, double highest,
                                      damper::LiftCache& lifts) {
    if (!(highest > 0.0) || !lifts.bends(valve, highest)) return std::nullopt;
    const std::shared_ptr<const stack::Solution> solution = lifts.solution(valve.stack);
    const std::optional<double> from = solution->uneven_from(highest);
    if (!from || *from > highest) return std::nullopt;
    Unevenness found{.place = place, .over_ports = valve.stack.windows > 0, .pressure = *from};
    if (found.over_ports) {
        found.waves = valve.stack.windows;
        if (const std::optional<stack::UnevenCrack> crack = solution->uneven_crack())
            found.land_pressure = crack->mid_land;
    } else if (const std::optional<stack::Waves> waves = solution->waves_up_to(highest)) {
        found.waves = waves->count;
    }
    return found;
}

void add_lifts(Unevenness& found, const flow::Valve& valve, damper::LiftCache& lifts) {
    try {
        const std::optional<stack::UnevenLift> lift =
            lifts.solution(valve.stack)->uneven(found.highest_pressure);
        if (!lift) return;
        found.mean = lift->state.seat_lift;
        found.crest = found.over_ports ? lift->mid_port : lift->crest;
        found.trough = found.over_ports ? lift->mid_land : lift->trough;
    } catch (const SolveError&) { // beyond the theory
    }
}

} // namespace

std::vector<Unevenness> unevenness(damper::OnsetSearch& search, damper::LiftCache& lifts) {
    std::vector<Unevenness> all;
    for (const damper::Place place : damper::all_places) {
        const std::optional<flow::Valve>& valve = search.model().setup().valves[place];
        if (!valve) continue;
        const double highest = search.highest_pressure(place);
        std::optional<Unevenness> found =
            by_pressure(std::string(damper::name(place)), *valve, highest, lifts);
        if (!found) continue;
        const auto speed_at = [&](double pressure) { return search.pressure_above(place, pressure).from(); };
        found->speed = speed_at(found->pressure);
        if (!found->speed) continue;
        if (found->land_pressure) found->land_speed = speed_at(*found->land_pressure);
        found->top_speed = search.top_speed();
        found->highest_pressure = highest;
        add_lifts(*found, *valve, lifts);
        all.push_back(std::move(*found));
    }
    return all;
}

std::vector<Unevenness> unevenness(const setup::Reading& reading, damper::LiftCache& lifts) {
    try {
        if (reading.unit) {
            UsualSearch usual(*reading.unit, lifts);
            return unevenness(usual.search, lifts);
        }
        std::vector<Unevenness> all;
        for (const auto& [name, valve] : valves_of(reading)) {
            std::optional<Unevenness> found = by_pressure(name, *valve, lifts.options().max_pressure, lifts);
            if (!found) continue;
            found->highest_pressure = lifts.solution(valve->stack)->uneven_end();
            add_lifts(*found, *valve, lifts);
            all.push_back(std::move(*found));
        }
        return all;
    } catch (const SolveError&) {
        return {};
    }
}

} // namespace valve::study
