#pragma once

#include <valve/stack/solution.hpp>

#include <span>
#include <vector>

namespace valve::stack::testing {

inline LiftCurve curve_of(const Stack& stack, const FollowOptions& options = {}) {
    return Solution(stack, options).curve();
}

/// States at chosen pressures [Pa], in the order asked.
inline std::vector<LiftPoint> states_at(const Stack& stack, std::span<const double> pressures,
                                        const FollowOptions& options = {}) {
    const Solution solution(stack, options);
    std::vector<LiftPoint> points;
    for (const double pressure : pressures)
        points.push_back(solution.at(pressure));
    return points;
}

} // namespace valve::stack::testing
