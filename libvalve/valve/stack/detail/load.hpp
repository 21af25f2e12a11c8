#pragma once

#include <valve/stack/spec.hpp>

namespace valve::stack {

/// A float without a spring would open at one pressure to any height. It is given a spring that takes this
/// much pressure [Pa] over the travel, so that lift is a function of pressure; check() says so.
inline constexpr double no_spring_pressure = 10.0;

/// A_load [m²], load per unit of p_eff: the coverage of the whole pressure from the zone's inner edge (at
/// least the clamp, or the bore of a floated stack) to the seat's inner edge, falling linearly to nothing
/// across the land.
double load_area(const Stack& stack);

/// Rate of the spring that closes a floated stack [N/m], no less than no_spring_pressure asks for. Throws
/// std::invalid_argument for a stack that does not float.
double closing_rate(const Stack& stack);

} // namespace valve::stack
