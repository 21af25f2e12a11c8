#pragma once

#include <valve/damper/spec.hpp>
#include <valve/flow/opening.hpp>

namespace valve::damper {

using flow::circle_area;

/// Area of the piston, A_p [m²].
inline double piston_area(const Cartridge& cartridge) {
    return circle_area(cartridge.bore);
}

/// Area of the rod, A_r [m²].
inline double rod_area(const Cartridge& cartridge) {
    return circle_area(cartridge.rod);
}

/// Air in the leg at full extension [m³].
inline double air_volume(const Leg& leg) {
    return leg.chamber_volume - leg.oil_volume;
}

} // namespace valve::damper
