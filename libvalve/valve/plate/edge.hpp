#pragma once

namespace valve::plate {

inline constexpr double same_edge = 5e-6; ///< radii closer than this are one edge [m]

} // namespace valve::plate
