#pragma once

#include <valve/stack/detail/path.hpp>
#include <valve/stack/ring.hpp>

#include <optional>

namespace valve::stack {

/// Follows the windows of a stack along `curve`, which `path` was followed to: looked for at the curve's
/// landmarks, then located to 1e-3.
RingCurve follow_ring(Path& path, const LiftCurve& curve);

/// What windows make of the lift at one pressure [Pa]; none where there is no state, or the harmonics do not
/// hold.
std::optional<RingLift> ring_lift_at(Path& path, double pressure);

/// The law over the ports, `ring` being follow_ring()'s of the same path and curve. Throws SolveError where
/// the harmonics do not hold as the stack opens.
ArcsLaw open_arcs_law(Path& path, const LiftCurve& curve, const RingCurve& ring);

} // namespace valve::stack
