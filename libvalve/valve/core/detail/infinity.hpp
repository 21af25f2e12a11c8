#pragma once

#include <limits>

namespace valve {

inline constexpr double infinity = std::numeric_limits<double>::infinity();

} // namespace valve
