#include <valve/core/bracket.hpp>
#include <valve/stack/lift_law.hpp>
#include <valve/stack/linear_error.hpp>

#include <algorithm>
#include <cmath>
#include <vector>

namespace valve::stack {

LinearError linear_error(const LiftCurve& curve, const LiftCurve& linear) {
    constexpr double resolved = 1e-6; // [m]
    LinearError error;
    error.crack_pressure = linear.crack_pressure;
    const LiftLaw large_lift(curve);
    const LiftLaw linear_lift(linear);
    error.end_pressure = std::min(large_lift.max_pressure(), linear_lift.max_pressure());
    const auto off = [&](double pressure) {
        const double lift = large_lift.at(pressure).lift;
        return std::abs(linear_lift.at(pressure).lift - lift) >
               LinearError::noticeable * std::max(lift, resolved);
    };

    std::vector<double> pressures;
    for (const LiftCurve* side : {&curve, &linear})
        for (const LiftPoint& point : side->points)
            if (point.pressure <= error.end_pressure) pressures.push_back(point.pressure);
    std::sort(pressures.begin(), pressures.end());
    const auto first = std::find_if(pressures.begin(), pressures.end(), off);
    if (first == pressures.end()) return error;
    const double low = first == pressures.begin() ? *first : *std::prev(first);
    error.from_pressure = bisect(low, *first, 1e-6, [&off](double pressure) {
                              return std::optional<bool>(!off(pressure));
                          }).high;
    return error;
}

} // namespace valve::stack
