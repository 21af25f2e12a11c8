#pragma once

namespace valve {

/// Standard atmosphere [Pa].
inline constexpr double p_atm = 101325.0;

/// 0 °C [K].
inline constexpr double zero_celsius = 273.15;

} // namespace valve
