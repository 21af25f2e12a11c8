#include <valve/study/balance_map.hpp>
#include <valve/study/reading.hpp>

#include <algorithm>
#include <utility>

namespace valve::study {

using damper::SteadyPoint;

bool BalanceMap::failed() const {
    const auto broke_off = [](const damper::Curve& curve) {
        return curve.void_onset.error() ||
               std::any_of(curve.points.begin(), curve.points.end(),
                           [](const SteadyPoint& point) { return point.error.has_value(); });
    };
    return !lead || std::any_of(curves.begin(), curves.end(), broke_off);
}

BalanceMap balance_map(std::string file, setup::Reading reading, const BalanceMapOptions& options,
                       damper::LiftCache& lifts) {
    BalanceMap map{std::move(file), std::move(reading), options, {}, std::nullopt, ""};
    const damper::SetUp& unit = unit_of(map.file, map.reading);
    const double whole = unit.cartridge.travel;
    if (map.options.speeds.empty())
        map.options.speeds = {0.25, 0.5, 1.0, 2.0, 3.0, 4.0, -0.25, -0.5, -1.0, -2.0, -3.0, -4.0};
    if (map.options.travels.empty())
        for (const double share : {0.05, 0.25, 0.5, 0.75, 0.95})
            map.options.travels.push_back(share * whole);

    const damper::Model model = lifts.model(unit);
    damper::CurveOptions asked{map.options.speeds, std::nullopt, options.rod_into, options.top_speed};
    for (const double travel : map.options.travels) {
        asked.travel = travel;
        map.curves.push_back(damper::steady_curve(model, asked));
    }
    try {
        map.lead = find_lead(map.reading, options.lead_at, 0.5 * whole, lifts);
    } catch (const SolveError& error) {
        map.lead_error = error.what();
    }
    return map;
}

bool judged_by_margin(const BalanceMap& map) {
    return margin_decides(*map.reading.unit);
}

std::optional<MapPoint> least_headroom(const BalanceMap& map) {
    std::optional<MapPoint> least;
    for (const damper::Curve& curve : map.curves)
        for (const SteadyPoint& point : curve.points) {
            if (point.error || point.speed <= 0.0) continue;
            if (!least || point.headroom_R < least->point->headroom_R) least = MapPoint{&point, curve.travel};
        }
    return least;
}

} // namespace valve::study
