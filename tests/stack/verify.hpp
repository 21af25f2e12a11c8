#pragma once

#include <valve/stack/detail/minimise.hpp>

namespace valve::stack::testing {

/// What a state gets wrong at worst, found without the solver: leaves as separate plates, their nodal forces
/// from their own shapes, contact forces by adding these up from the last leaf down. Forces count as far as
/// they are beyond the rounding of the deflections they are computed from.
struct Verdict {
    double overlap = 0.0;   ///< deepest overlap of two shims, or of a shim and a support [m]
    double pull = 0.0;      ///< largest contact force of the wrong sign [N]
    double product = 0.0;   ///< of force/load and gap/deflection, at the worst contact [-]
    double imbalance = 0.0; ///< moment or radial force that nothing carries, and load less reactions [N]
    double load = 0.0;      ///< the largest force at work [N]
    double highest = 0.0;   ///< largest deflection [m]
};
Verdict verify(const Problem& problem, const State& state);

/// All that the pressure [Pa] presses on the face shim: whole on the zone, falling to none across the land
/// [N].
double pressed(const Problem& problem, double pressure);

} // namespace valve::stack::testing
