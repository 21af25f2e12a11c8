#include <valve/report/stress.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

namespace valve::report {

namespace {

/// Lowest rod speed, as a magnitude, at which the pressure on the face shim passes `limit` [Pa].
std::optional<double> speed_beyond(double limit, damper::Place place, const damper::Model& model,
                                   const damper::Curve& curve) {
    const damper::Stroke stroke = stroke_of(place);
    const flow::Passage* passage = at_piston(place) ? &model.piston(stroke) : model.base(stroke);
    if (passage == nullptr) return std::nullopt;
    std::optional<double> lowest;
    for (const damper::SteadyPoint& point : curve.points) {
        const bool this_way = (point.speed > 0.0) == (stroke == damper::Stroke::compression);
        const double dp = at_piston(place) ? point.dp_piston : point.dp_base;
        if (point.error || point.speed == 0.0 || !this_way || dp <= 0.0) continue;
        if (passage->at_pressure(std::min(dp, passage->end().dp)).p_eff <= limit) continue;
        if (!lowest || std::abs(point.speed) < *lowest) lowest = std::abs(point.speed);
    }
    return lowest;
}

} // namespace

std::vector<std::string> stress_warnings(const damper::Model& model, const damper::Curve& curve,
                                         damper::LiftCache& lifts) {
    std::vector<std::string> warnings;
    for (const damper::Place place : damper::all_places) {
        const std::optional<flow::Valve>& valve = model.setup().valves[place];
        if (!valve) continue;
        const stack::LiftCurve& lift = lifts.curve(valve->stack);
        const auto warn = [&](const std::optional<stack::StressLimit>& limit, std::string_view what) {
            if (!limit) return;
            const std::optional<double> speed = speed_beyond(limit->pressure, place, model, curve);
            if (!speed) return;
            warnings.push_back(
                fmt::format("At {} m/s and faster, shim {} of {} {} (at Ø {}, from {} bar on the face shim)",
                            fixed(*speed, 2), limit->peak.shim, damper::name(place), what,
                            trim_mm(2.0 * limit->peak.radius), bar(limit->pressure)));
        };
        warn(lift.set, "keeps a set");
        warn(lift.fatigue, "is bent beyond endless life");
    }
    return warnings;
}

} // namespace valve::report
