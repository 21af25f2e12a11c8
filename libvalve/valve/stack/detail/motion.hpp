#pragma once

#include <valve/stack/detail/follow.hpp>
#include <valve/stack/lift_law.hpp>
#include <valve/stack/motion.hpp>

namespace valve::stack {

/// How a stack moves along `followed`, which `path` was followed to, from where `law`, its lift law, opens to
/// the end of the curve or to where its seat lifts no more. Throws SolveError where it never opens.
Motion motion_of(Path& path, const Followed& followed, const LiftLaw& law);

/// The same of a rigid disc, up to its stop.
Motion motion_of_disc(const Stack& stack, const LiftCurve& curve, const LiftLaw& law);

} // namespace valve::stack
