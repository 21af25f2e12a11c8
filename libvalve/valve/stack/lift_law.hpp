#pragma once

#include <valve/stack/lift_curve.hpp>

#include <vector>

namespace valve::stack {

/// Seat lift as a function of p_eff: monotone piecewise-cubic interpolation.
/// Sources: fritsch_carlson_1980 (what keeps a cubic monotone),
/// fritsch_butland_1984 (slopes where only lifts
/// are given).
class LiftLaw {
public:
    /// Closed at every pressure; for a place without a stack.
    LiftLaw() = default;

    /// Of a computed curve, with its rates, so that the slope jumps at events. Throws SolveError where the
    /// seat lift falls along the pressure.
    explicit LiftLaw(const LiftCurve& curve);

    /// Of given points [Pa, m], equal in length, at least two: pressures rising, lifts not falling, closed at
    /// the first pressure unless that is zero; with a continuous slope. Throws std::invalid_argument
    /// otherwise.
    LiftLaw(std::vector<double> pressures, std::vector<double> lifts, double load_area);

    struct Value {
        double lift = 0.0;  ///< [m]
        double slope = 0.0; ///< d lift / d p_eff [m/Pa]
    };

    /// Lift at `pressure` [Pa]; zero below the first point, the last point's beyond the end.
    Value at(double pressure) const;

    /// Highest pressure at which the stack is still closed [Pa]: the lift is positive above it.
    double opening_pressure() const { return m_opening_pressure; }

    /// End of the curve [Pa]; beyond it the law does not hold.
    double max_pressure() const { return m_pressures.empty() ? 0.0 : m_pressures.back(); }

    /// The area that the pressure on the face shim acts on, A_load [m²].
    double load_area() const { return m_load_area; }

private:
    /// Slopes at both ends of an interval between two points [m/Pa].
    struct Slopes {
        double left = 0.0;
        double right = 0.0;
    };

    double secant(std::size_t interval) const;

    std::vector<double> m_pressures;
    std::vector<double> m_lifts;
    std::vector<Slopes> m_slopes; ///< of each interval
    double m_load_area = 0.0;
    double m_opening_pressure = 0.0;
};

} // namespace valve::stack
