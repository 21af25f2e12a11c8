#pragma once

#include <valve/damper/spec.hpp>

#include <numbers>

namespace valve::damper {

inline double circle_area(double diameter) {
    return std::numbers::pi * diameter * diameter / 4.0;
}

inline double piston_area(const Cartridge& cartridge) {
    return circle_area(cartridge.bore);
} ///< A_p [m²]
inline double rod_area(const Cartridge& cartridge) {
    return circle_area(cartridge.rod);
} ///< A_r [m²]

/// Air in the leg at full extension [m³].
inline double air_volume(const Leg& leg) {
    return leg.chamber_volume - leg.oil_volume;
}

} // namespace valve::damper
