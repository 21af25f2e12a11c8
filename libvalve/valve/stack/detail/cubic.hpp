#pragma once

#include <valve/core/cubic.hpp>
#include <valve/stack/lift_law.hpp>

namespace valve::stack {

/// The cubic through the lifts at both ends of an interval of pressure with the slopes there (Hermite's).
struct LiftCubic {
    double low = 0.0;       ///< end of the interval [Pa]
    double high = 0.0;      ///< [Pa]
    double low_lift = 0.0;  ///< [m]
    double high_lift = 0.0; ///< [m]
    double left = 0.0;      ///< slope at `low` [m/Pa]
    double right = 0.0;     ///< slope at `high` [m/Pa]

    double secant() const { return (high_lift - low_lift) / (high - low); }

    LiftLaw::Value at(double pressure) const {
        const ValueSlope lift =
            hermite(high - low, (pressure - low) / (high - low), {low_lift, left}, {high_lift, right});
        return {lift.value, lift.slope};
    }
};

} // namespace valve::stack
