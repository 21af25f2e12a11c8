#pragma once

#include <valve/report/json.hpp>
#include <valve/study/ride.hpp>

#include <cstddef>

namespace valve::report {

/// The moments of a ride by column, even ones and those of extremes in one order, with the dampers of the
/// first `units` units.
Json series(const study::RideFigures& ride, std::size_t units);

/// What a page draws of them, to five digits and a tenth of what figures are told to: the first moment of
/// each of the parts that the time falls into (`most_parts` at most), the last of all, and those at which
/// something drawn is least and greatest, of the whole and of each part where a straight line through it
/// would not show it.
Json series_to_draw(const study::RideFigures& ride);

/// Parts of the time, so that a page stays small however long a ride is.
inline constexpr std::size_t most_parts = 125;

} // namespace valve::report
