#pragma once

#include <valve/stack/detail/path.hpp>
#include <valve/stack/lift_curve.hpp>

#include <vector>

namespace valve::stack {

/// A lift curve, and the states that tell its rates.
struct Followed {
    LiftCurve curve;
    /// Pressures [Pa] whose states in the path have the rates on either side of a point.
    struct Sides {
        double before = 0.0; ///< at an event right before it
        double after = 0.0;  ///< of the first point under the first load
    };
    std::vector<Sides> sides; ///< of each point of the curve; but for events and the first its own pressure
};

/// Follows the lift of the stack of `path`, which is new, from zero to `max_pressure` [Pa], locating every
/// change of contact. All states named in the result are in the path. Throws SolveError (with the pressure)
/// where no state is found.
Followed follow(Path& path, double max_pressure);

/// Seat lift that a workshop calls open [m].
inline constexpr double opened = 0.02e-3;

} // namespace valve::stack
