#pragma once

#include <valve/stack/lift_curve.hpp>
#include <valve/stack/modes.hpp>

namespace valve::stack {

/// A coil-loaded disc that does not bend at `pressure` [Pa], in closed form.
LiftPoint disc_at(const Stack& stack, double pressure);

/// Its lift from zero to `options.max_pressure`.
LiftCurve follow_disc(const Stack& stack, const FollowOptions& options);

/// The one frequency of a disc, that of its bounce on the coil; see Solution::modes().
Modes modes_of_disc(const Stack& stack, const ModesOptions& options);

} // namespace valve::stack
