#pragma once

#include <valve/plate/detail/vibration.hpp>
#include <valve/stack/detail/minimise.hpp>

namespace valve::stack {

/// Whether the w of plates that lie on the land are left out, or counted, so that what holds them is known.
enum class OnLand { left_out, counted };

/// Whether u and v of bent plates are counted.
enum class InPlane { left_out, counted };

/// The plates of a stack in small motion, w(r) cos nθ, about `state`; null: unbent and just lifted.
///
/// Shims that touch in the state move as one: they share w. Land, hub and stop hold what lies on them. There
/// is no friction. Just lifted and flat, shims touch wherever they lie on one another, and only the clamp, or
/// the float's spring, holds them. Linear plates count the contact alone, for bending does not stiffen them.
/// A guided edge stays level, so that with nodal diameters it does not move. The float's spring is an even
/// bed under its ring.
plate::Vibration small_motion(const Problem& problem, const State* state, int nodal_diameters,
                              OnLand on_land = OnLand::left_out, InPlane in_plane = InPlane::counted);

/// Whether the face shim lies on the land at a station.
bool lies_on_land(const Problem& problem, const State& state, int station);

} // namespace valve::stack
