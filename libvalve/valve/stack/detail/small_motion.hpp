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
/// What touches in the state, moves together, without friction: shims share w, the land, the hub and the
/// stop hold it. Just lifted, unbent: shims touch wherever they lie on one another, and nothing else holds
/// them but the clamp or the float's spring. With linear plates only the contact counts, for they stiffen by
/// no bending. A guided edge stays level, so that with nodal diameters it does not move. The float's spring
/// is an even bed under its ring.
plate::Vibration small_motion(const Problem& problem, const State* state, int nodal_diameters,
                              OnLand on_land = OnLand::left_out, InPlane in_plane = InPlane::counted);

/// Whether the face shim lies on the land at a station.
bool lies_on_land(const Problem& problem, const State& state, int station);

} // namespace valve::stack
