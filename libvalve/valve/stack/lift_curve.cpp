#include <valve/stack/lift_curve.hpp>

#include <algorithm>

namespace valve::stack {

std::vector<double> landmarks(const LiftCurve& curve) {
    constexpr double apart = 1.6;
    std::vector<double> pressures;
    for (const LiftPoint& point : curve.points) {
        const bool is_event = std::any_of(curve.events.begin(), curve.events.end(), [&](const Event& event) {
            return event.pressure == point.pressure;
        });
        const bool is_far = pressures.empty() || point.pressure >= apart * pressures.back();
        if (is_event || is_far || &point == &curve.points.back()) pressures.push_back(point.pressure);
    }
    return pressures;
}

} // namespace valve::stack
