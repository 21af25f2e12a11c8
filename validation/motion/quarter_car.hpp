#pragma once

#include <valve/motion/ride.hpp>

namespace valve::validation {

/// A linear quarter car: the damper is a ring gap of thin oil that hardly gives, gas behind it.
struct QuarterCar {
    double sprung = 0.0;   ///< [kg]
    double unsprung = 0.0; ///< [kg]
    double spring = 0.0;   ///< [N/m]
    double damping = 0.0;  ///< [N s/m]
    double tyre = 0.0;     ///< [N/m]
};

/// Over an event, the wheel a point.
motion::Ride ride(const QuarterCar& car, const motion::Event& event, int samples);

} // namespace valve::validation
