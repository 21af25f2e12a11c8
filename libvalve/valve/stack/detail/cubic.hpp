#pragma once

#include <valve/stack/lift_law.hpp>

namespace valve::stack {

/// The cubic through the lifts at both ends of an interval of pressure with the slopes there (Hermite's).
struct Cubic {
    double low = 0.0;       ///< end of the interval [Pa]
    double high = 0.0;      ///< [Pa]
    double low_lift = 0.0;  ///< [m]
    double high_lift = 0.0; ///< [m]
    double left = 0.0;      ///< slope at `low` [m/Pa]
    double right = 0.0;     ///< slope at `high` [m/Pa]

    double secant() const { return (high_lift - low_lift) / (high - low); }

    LiftLaw::Value at(double pressure) const {
        const double width = high - low;
        const double t = (pressure - low) / width;
        // In Newton's form.
        const double c2 = 3.0 * secant() - 2.0 * left - right;
        const double c3 = left + right - 2.0 * secant();
        return {low_lift + width * t * (left + t * (c2 + t * c3)), left + t * (2.0 * c2 + 3.0 * t * c3)};
    }
};

} // namespace valve::stack
