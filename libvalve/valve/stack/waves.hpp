#pragma once

#include <valve/stack/detail/path.hpp>

#include <optional>

namespace valve::stack {

/// Where the round shape of a stack ceases to be stable and buckles into waves round the ring.
struct Waves {
    double pressure = 0.0; ///< from which it does [Pa]
    int count = 0;         ///< waves round the ring
};

/// Whether the round `state` resists every small motion with `nodal_diameters` waves round the ring: whether
/// its stiffness against them is positive definite. Shims that touch move together.
bool is_stable(const Problem& problem, const State& state, int nodal_diameters);

/// The lowest pressure along `curve` from which 2 to 5 waves round the ring buckle out of the round shape;
/// none up to its end. Looked for at its landmarks, then located to 1e-3, by `path`, which must be that of
/// the curve's stack and theory. Linear plates never do.
std::optional<Waves> first_waves(Path& path, const LiftCurve& curve);

} // namespace valve::stack
