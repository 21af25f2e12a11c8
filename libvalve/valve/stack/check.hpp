#pragma once

#include <valve/core/error.hpp>
#include <valve/stack/lift_curve.hpp>
#include <valve/stack/modes.hpp>

namespace valve::stack {

inline constexpr double greatest_bar = 10000.0; ///< that a stack can be asked for [bar]

/// Options that no curve can be followed by, and that no frequencies can be found for; keys are the members'
/// names.
Findings check(const FollowOptions& options);
Findings check(const ModesOptions& options);

} // namespace valve::stack
