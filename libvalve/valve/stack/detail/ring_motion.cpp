#include <valve/core/cubic.hpp>
#include <valve/stack/detail/ring_motion.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace valve::stack {

const std::optional<RingRates>& RingMotion::rates(double pressure) {
    const auto known = m_rates.find(pressure);
    if (known != m_rates.end()) return known->second;
    return m_rates.emplace(pressure, m_path.rates_at(pressure)).first->second;
}

LiftLaw::Value RingMotion::law_at(double pressure, bool over_ports) {
    const UnevenLawValue value = m_law.at(pressure);
    return over_ports ? value.open_arcs : value.ring;
}

/// Adds what lies above `low` up to `high`, whose slopes are those within the interval.
void RingMotion::divide(double low, double high, bool over_ports, int depth,
                        std::vector<MotionPoint>& points) {
    constexpr double within = 1e-7;  // of the width
    constexpr double steepest = 3.0; // as a Profile takes no steeper slope
    constexpr int most_halvings = 7;
    const double width = high - low;
    const double low_lift = law_at(low, over_ports).lift;
    const double high_lift = law_at(high, over_ports).lift;
    const double rise = high_lift - low_lift;
    const auto slope_of = [&](double pressure) {
        const double slope = law_at(pressure, over_ports).slope;
        const double most = steepest * width / rise;
        return slope * most > 1.0 ? 1.0 / slope : most;
    };
    if (!(rise > resolution)) return;
    const double left = slope_of(low + within * width);
    const double right = slope_of(high - within * width);
    bool close = depth == most_halvings;
    if (!close) {
        close = true;
        for (const double share : {0.25, 0.5, 0.75}) {
            const LiftLaw::Value law = law_at(low + share * width, over_ports);
            const ValueSlope pressure =
                hermite(rise, (law.lift - low_lift) / rise, {low, left}, {high, right});
            const double missed = std::abs(pressure.value - (low + share * width)) * law.slope;
            close = close && missed <= accuracy * law.lift + resolution;
        }
    }
    if (!close) {
        const double middle = 0.5 * (low + high);
        divide(low, middle, over_ports, depth + 1, points);
        divide(middle, high, over_ports, depth + 1, points);
        return;
    }
    points.back().above.pressure_slope = left;
    MotionPoint point;
    point.lift = high_lift;
    point.pressure = high;
    point.below.pressure_slope = point.above.pressure_slope = right;
    points.push_back(point);
}

std::vector<MotionPoint> RingMotion::from(double pressure, bool over_ports) {
    const double high = m_law.next(pressure);
    if (!std::isfinite(high)) return {};
    std::vector<MotionPoint> points{{law_at(pressure, over_ports).lift, pressure, {}, {}}};
    divide(pressure, high, over_ports, 0, points);
    if (points.size() < 2) return points;

    // Mass and area by the states at both ends, in between along the lift.
    const double bottom = points.front().lift;
    const double rise = points.back().lift - bottom;
    const auto side_at = [&](double end, double waves_share) -> std::optional<Side> {
        const std::optional<RingRates>& here = rates(end);
        if (!here) return std::nullopt;
        constexpr double least = 0.05; // of the rise: states that all but stand still do not lift the mean
        const double own = (over_ports ? here->means.open_arcs : here->means.ring).slope;
        const double rate = std::max(own, least * rise / (high - pressure));
        return Side{(here->even.metal + waves_share * here->uneven.metal) / (rate * rate),
                    (here->even.oil + waves_share * here->uneven.oil) / (rate * rate), here->swept / rate};
    };
    const bool at_begin = pressure == m_law.begin().pressure;
    const std::optional<Side> top = side_at(high, 1.0);
    // Where a branch begins waves grow as the root of the lift, so that their mass has no end, but the time
    // that they take has: a straight line down from the mass above that takes as long.
    const double at_the_root = m_path.waves() ? std::pow(1.0 + std::numbers::sqrt3, 2) : 1.0;
    const std::optional<Side> low = at_begin ? side_at(high, at_the_root) : side_at(pressure, 1.0);
    if (!top || !low) return {};
    for (MotionPoint& point : points) {
        const double share = (point.lift - bottom) / rise;
        const auto between = [&](double Side::*part) {
            return (1.0 - share) * (*low).*part + share * (*top).*part;
        };
        for (MotionSide* side : {&point.below, &point.above}) {
            side->mass = between(&Side::metal);
            side->oil_volume = between(&Side::oil);
            side->area = between(&Side::area);
        }
    }
    return points;
}

} // namespace valve::stack
