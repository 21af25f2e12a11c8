#include <valve/report/stress.hpp>
#include <valve/report/text.hpp>
#include <valve/study/reading.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <string_view>

namespace valve::report {

namespace {

/// Pressure on the face shim of the valve at `place` [Pa] by rod speed, as a magnitude, [m/s] in its own
/// stroke.
std::map<double, double> pressures_on(damper::Place place, const damper::Curve& curve) {
    std::map<double, double> pressures;
    const damper::Stroke stroke = stroke_of(place);
    for (const damper::SteadyPoint& point : curve.points) {
        const bool this_way = (point.speed > 0.0) == (stroke == damper::Stroke::compression);
        if (point.error || point.speed == 0.0 || !this_way) continue;
        const flow::LinkState link = at_piston(place) ? point.piston : point.base.value_or(flow::LinkState{});
        if (link.p_eff > 0.0) pressures.emplace(std::abs(point.speed), link.p_eff);
    }
    return pressures;
}

/// Lowest rod speed [m/s] at which `limit` [Pa] is passed, between two speeds of the curve by a straight
/// line.
std::optional<double> speed_beyond(double limit, const std::map<double, double>& pressures) {
    const auto beyond = std::find_if(pressures.begin(), pressures.end(),
                                     [limit](const auto& entry) { return entry.second > limit; });
    if (beyond == pressures.end()) return std::nullopt;
    if (beyond == pressures.begin()) return beyond->first;
    const auto below = std::prev(beyond);
    const double part = (limit - below->second) / (beyond->second - below->second);
    return below->first + part * (beyond->first - below->first);
}

std::optional<double> lower(const std::optional<double>& a, const std::optional<double>& b) {
    if (!a || !b) return a ? a : b;
    return std::min(*a, *b);
}

std::string where(const stack::StressLimit& limit) {
    return fmt::format("at Ø {}, from {} bar on the face shim", trim_mm(2.0 * limit.peak.radius),
                       bar(limit.pressure));
}

constexpr std::string_view keeps_a_set = "keeps a set";
constexpr std::string_view breaks_in_time = "is bent beyond endless life";

} // namespace

bool states_limits(const setup::Reading& reading) {
    const std::vector<study::NamedValve> valves = study::valves_of(reading);
    return std::any_of(valves.begin(), valves.end(), [](const study::NamedValve& valve) {
        return std::any_of(valve.valve->stack.shims.begin(), valve.valve->stack.shims.end(),
                           [](const stack::Shim& shim) {
                               return shim.material.yield_strength || shim.material.fatigue_limit;
                           });
    });
}

StressOnset stress_onset(const damper::Model& model, const damper::Curve& curve, damper::LiftCache& lifts) {
    StressOnset onset;
    for (const damper::Place place : damper::all_places) {
        const std::optional<flow::Valve>& valve = model.setup().valves[place];
        if (!valve) continue;
        const stack::LiftCurve& lift = lifts.curve(valve->stack);
        const std::map<double, double> pressures = pressures_on(place, curve);
        if (lift.set) onset.set = lower(onset.set, speed_beyond(lift.set->pressure, pressures));
        if (lift.fatigue)
            onset.fatigue = lower(onset.fatigue, speed_beyond(lift.fatigue->pressure, pressures));
    }
    return onset;
}

std::vector<std::string> stress_warnings(const damper::Model& model, const damper::Curve& curve,
                                         damper::LiftCache& lifts) {
    std::vector<std::string> warnings;
    for (const damper::Place place : damper::all_places) {
        const std::optional<flow::Valve>& valve = model.setup().valves[place];
        if (!valve) continue;
        const stack::LiftCurve& lift = lifts.curve(valve->stack);
        const std::map<double, double> pressures = pressures_on(place, curve);
        const auto warn = [&](const std::optional<stack::StressLimit>& limit, std::string_view what) {
            if (!limit) return;
            const std::optional<double> speed = speed_beyond(limit->pressure, pressures);
            if (!speed) return;
            warnings.push_back(fmt::format("At {} m/s and faster, shim {} of {} {} ({})", fixed(*speed, 2),
                                           limit->peak.shim, damper::name(place), what, where(*limit)));
        };
        warn(lift.set, keeps_a_set);
        warn(lift.fatigue, breaks_in_time);
    }
    return warnings;
}

std::vector<std::string> wave_warnings(const damper::Model& model, const damper::Curve& curve,
                                       damper::LiftCache& lifts) {
    std::vector<std::string> warnings;
    for (const damper::Place place : damper::all_places) {
        const std::optional<flow::Valve>& valve = model.setup().valves[place];
        if (!valve) continue;
        const std::map<double, double> pressures = pressures_on(place, curve);
        const auto speed_above = [&](double pressure) { return speed_beyond(pressure, pressures); };
        if (const std::optional<double> end = lifts.windows_hold_until(*valve))
            if (const std::optional<double> speed = speed_above(*end))
                warnings.push_back(
                    fmt::format("At {} m/s and faster, the waves of {} over its ports are too high to be "
                                "followed (from {} bar on the face shim): they are taken to grow as they "
                                "did up to there, so that the force is less sure",
                                fixed(*speed, 2), damper::name(place), bar(*end)));
        const std::optional<stack::Waves>& waves = lifts.waves(valve->stack);
        if (!waves) continue;
        if (const std::optional<double> speed = speed_above(waves->pressure))
            warnings.push_back(fmt::format("At {} m/s and faster, {} buckles into {} waves round the ring "
                                           "(from {} bar on the face shim): it "
                                           "lifts more than computed, and the true force is lower",
                                           fixed(*speed, 2), damper::name(place), waves->count,
                                           bar(waves->pressure)));
    }
    return warnings;
}

std::vector<std::string> shim_warnings(const damper::Model& model, const damper::Curve& curve,
                                       damper::LiftCache& lifts) {
    std::vector<std::string> warnings = stress_warnings(model, curve, lifts);
    for (std::string& warning : wave_warnings(model, curve, lifts))
        warnings.push_back(std::move(warning));
    return warnings;
}

std::vector<std::string> stress_warnings(const setup::Reading& reading, damper::LiftCache& lifts) {
    if (!states_limits(reading)) return {};
    try {
        if (reading.unit) {
            const damper::Model model = lifts.model(*reading.unit);
            return stress_warnings(model, damper::steady_curve(model), lifts);
        }
        std::vector<std::string> warnings;
        const stack::LiftCurve& lift = lifts.curve(reading.valve->stack);
        const auto warn = [&](const std::optional<stack::StressLimit>& limit, std::string_view what) {
            if (limit)
                warnings.push_back(fmt::format("Shim {} {} ({})", limit->peak.shim, what, where(*limit)));
        };
        warn(lift.set, keeps_a_set);
        warn(lift.fatigue, breaks_in_time);
        return warnings;
    } catch (const SolveError& error) {
        return {fmt::format("stress is not known: {}", error.what())};
    }
}

} // namespace valve::report
