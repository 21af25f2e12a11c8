#pragma once

#include <valve/stack/lift_curve.hpp>

#include <functional>
#include <map>
#include <optional>

namespace valve::stack {

/// Points of a lift curve by their pressure [Pa].
using Points = std::map<double, LiftPoint>;

/// Halves every interval in which interpolation by lifts alone misses that by lifts and rates. The latter,
/// being of a higher order, then misses the lift itself by far less. `evaluate` gives the point at a
/// pressure, or none.
void refine(Points& points, const std::function<std::optional<LiftPoint>(double)>& evaluate);

} // namespace valve::stack
