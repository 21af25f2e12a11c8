#include <valve/stack/detail/cubic.hpp>
#include <valve/stack/detail/refine.hpp>
#include <valve/stack/lift_law.hpp>

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

namespace valve::stack {
namespace {

/// Interpolated lift agrees with computed lift to this share, or to this height [m].
constexpr double lift_accuracy = 1e-3;
constexpr double lift_resolution = 2e-8;

/// The law by lifts alone.
LiftLaw law_of(const Points& points) {
    std::vector<double> pressures;
    std::vector<double> lifts;
    double lift = 0.0;
    for (const auto& [pressure, point] : points) {
        lift = std::max(lift, point.seat_lift);
        pressures.push_back(pressure);
        lifts.push_back(lift);
    }
    return LiftLaw(std::move(pressures), std::move(lifts), 1.0);
}

/// Lift at a share of the way between two points: the cubic through both with their rates.
double foretell(const LiftPoint& low, const LiftPoint& high, double share) {
    const LiftCubic cubic{low.pressure,   high.pressure,  low.seat_lift,
                          high.seat_lift, low.rate_after, high.rate_before};
    return cubic.at(low.pressure + share * (high.pressure - low.pressure)).lift;
}

} // namespace

void refine(Points& points, const std::function<std::optional<LiftPoint>(double)>& evaluate) {
    constexpr std::size_t most_points = 600;
    constexpr double narrowest = 1e-4;
    std::vector<std::pair<double, double>> open;
    for (auto point = points.begin(); std::next(point) != points.end(); ++point)
        open.emplace_back(point->first, std::next(point)->first);
    while (!open.empty() && points.size() < most_points) {
        const LiftLaw law = law_of(points);
        const auto hits = [&](double low, double high) {
            // Not half-way alone, where an S about a straight line hits it.
            for (const double share : {0.25, 0.5, 0.75}) {
                const double lift =
                    std::max(foretell(points.at(low), points.at(high), share), law.at(low).lift);
                const double missed = std::abs(law.at(low + share * (high - low)).lift - lift);
                if (missed > lift_accuracy * lift + lift_resolution) return false;
            }
            return true;
        };
        std::vector<std::pair<double, double>> next;
        for (const auto& [low, high] : open) {
            if (high - low < narrowest * high || hits(low, high)) continue;
            const double middle = 0.5 * (low + high);
            const std::optional<LiftPoint> point = evaluate(middle);
            if (!point) continue;
            points.emplace(middle, *point);
            next.emplace_back(low, middle);
            next.emplace_back(middle, high);
        }
        open = std::move(next);
    }
}

} // namespace valve::stack
