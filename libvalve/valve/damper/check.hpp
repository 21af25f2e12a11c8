#pragma once

#include <valve/core/error.hpp>
#include <valve/damper/choose.hpp>
#include <valve/damper/measured.hpp>
#include <valve/damper/steady.hpp>

namespace valve::damper {

inline constexpr double fastest_rod = 100.0; ///< that can be asked for, ten times what a landing gives [m/s]

inline constexpr double largest_force = 1e6; ///< that a dynamometer can have measured [N]

/// What nothing can be computed of; keys are the members' names.
Findings check(const CurveOptions& options);
Findings check(const SupportGoal& goal);
Findings check(const Buildable& limits);
Findings check(const MeasuredRun& run);

} // namespace valve::damper
