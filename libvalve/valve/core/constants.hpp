#pragma once

namespace valve {

/// Standard atmosphere [Pa].
inline constexpr double p_atm = 101325.0;

/// 0 °C [K].
inline constexpr double zero_celsius = 273.15;

/// Standard acceleration of free fall [m/s²].
inline constexpr double standard_gravity = 9.80665;

} // namespace valve
