#include <valve/core/error.hpp>
#include <valve/study/reading.hpp>
#include <valve/study/stress.hpp>

#include <algorithm>
#include <string>
#include <utility>

namespace valve::study {

namespace {

std::optional<double> lower(const std::optional<double>& a, const std::optional<double>& b) {
    if (!a || !b) return a ? a : b;
    return std::min(*a, *b);
}

Warning passed(const stack::StressLimit& limit, WarningKind kind) {
    return {.kind = kind, .pressure = limit.pressure, .radius = limit.peak.radius, .shim = limit.peak.shim};
}

bool states(const flow::Valve& valve, StripLimit limit) {
    const std::vector<stack::Shim>& shims = valve.stack.shims;
    return std::any_of(shims.begin(), shims.end(), [limit](const stack::Shim& shim) {
        return (limit == StripLimit::set ? shim.material.yield_strength : shim.material.fatigue_limit)
            .has_value();
    });
}

} // namespace

bool states_limits(const setup::Reading& reading) {
    const std::vector<NamedValve> valves = valves_of(reading);
    return std::any_of(valves.begin(), valves.end(), [](const NamedValve& valve) {
        return states(*valve.valve, StripLimit::set) || states(*valve.valve, StripLimit::fatigue);
    });
}

std::optional<double> stress_onset(damper::OnsetSearch& search, StripLimit which, damper::LiftCache& lifts) {
    constexpr int rounds = 16; // to the top speed
    std::optional<double> onset;
    // All valves a part of the way further, so that none is followed far beyond where the first passes.
    for (int round = 1; round <= rounds && !onset; ++round) {
        const double speed = search.top_speed() * round / rounds;
        for (const damper::Place place : damper::all_places) {
            const std::optional<flow::Valve>& valve = search.model().setup().valves[place];
            if (!valve) continue;
            const double highest = search.highest_pressure(place, speed);
            const stack::StressLimits limits = lifts.limits(*valve, highest);
            const std::optional<stack::StressLimit>& limit =
                which == StripLimit::set ? limits.set : limits.fatigue;
            if (limit && limit->pressure <= highest)
                onset = lower(onset, search.pressure_above(place, limit->pressure).from());
        }
    }
    for (const damper::Place place : damper::all_places) {
        const std::optional<flow::Valve>& valve = search.model().setup().valves[place];
        if (!valve || !states(*valve, which)) continue;
        if (const std::optional<damper::Onset> end =
                search.broken_off(place, onset.value_or(search.top_speed())))
            throw SolveError(end->why);
    }
    return onset;
}

std::vector<Warning> stress_warnings(damper::OnsetSearch& search, damper::LiftCache& lifts) {
    std::vector<Warning> warnings;
    for (const damper::Place place : damper::all_places) {
        const std::optional<flow::Valve>& valve = search.model().setup().valves[place];
        if (!valve) continue;
        const stack::StressLimits lift = lifts.limits(*valve, search.highest_pressure(place));
        const auto warn = [&](const std::optional<stack::StressLimit>& limit, WarningKind kind) {
            if (!limit) return false;
            Warning warning = passed(*limit, kind);
            warning.place = damper::name(place);
            warning.speed = search.pressure_above(place, limit->pressure).from();
            if (!warning.speed) return false;
            warnings.push_back(std::move(warning));
            return true;
        };
        const bool is_passed = warn(lift.set, WarningKind::shim_keeps_set);
        if (warn(lift.fatigue, WarningKind::shim_life_ends) || is_passed) continue;
        if (!states(*valve, StripLimit::set) && !states(*valve, StripLimit::fatigue)) continue;
        if (const std::optional<damper::Onset> end = search.broken_off(place, search.top_speed()))
            warnings.push_back({.kind = WarningKind::stress_unknown,
                                .place = std::string(damper::name(place)),
                                .speed = end->speed,
                                .detail = end->why});
    }
    return warnings;
}

std::vector<Warning> wave_warnings(damper::OnsetSearch& search, damper::LiftCache& lifts) {
    std::vector<Warning> warnings;
    for (const damper::Place place : damper::all_places) {
        const std::optional<flow::Valve>& valve = search.model().setup().valves[place];
        if (!valve) continue;
        const auto warn = [&](WarningKind kind, double pressure, int count) {
            if (const std::optional<double> speed = search.pressure_above(place, pressure).from())
                warnings.push_back({.kind = kind,
                                    .place = std::string(damper::name(place)),
                                    .speed = speed,
                                    .pressure = pressure,
                                    .count = count});
        };
        if (const std::optional<double> end = lifts.windows_hold_until(*valve))
            warn(WarningKind::waves_over_ports, *end, 0);
        const double highest = search.highest_pressure(place);
        if (lifts.bends(*valve, highest)) continue; // the forces say it
        if (const std::optional<stack::Waves> waves = lifts.waves(valve->stack, highest))
            warn(WarningKind::buckles, waves->pressure, waves->count);
    }
    return warnings;
}

std::vector<Warning> shim_warnings(damper::OnsetSearch& search, damper::LiftCache& lifts) {
    std::vector<Warning> warnings = stress_warnings(search, lifts);
    for (Warning& warning : wave_warnings(search, lifts))
        warnings.push_back(std::move(warning));
    return warnings;
}

std::vector<Warning> stress_warnings(const setup::Reading& reading, damper::LiftCache& lifts) {
    if (!states_limits(reading)) return {};
    try {
        if (reading.unit) {
            UsualSearch usual(*reading.unit, lifts);
            return stress_warnings(usual.search, lifts);
        }
        std::vector<Warning> warnings;
        const stack::StressLimits lift = lifts.limits(*reading.valve, lifts.options().max_pressure);
        if (lift.set) warnings.push_back(passed(*lift.set, WarningKind::shim_keeps_set));
        if (lift.fatigue) warnings.push_back(passed(*lift.fatigue, WarningKind::shim_life_ends));
        return warnings;
    } catch (const SolveError& error) {
        return {{.kind = WarningKind::stress_unknown, .detail = error.what()}};
    }
}

} // namespace valve::study
