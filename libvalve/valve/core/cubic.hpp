#pragma once

#include <valve/core/root.hpp>

namespace valve {

/// The cubic over an interval of `width` from values and slopes at its ends (Hermite's), at the share `s` of
/// the interval, in Newton's form: value + width s (slope + s (c2 + s c3)).
class Cubic {
public:
    Cubic(double width, ValueSlope left, ValueSlope right) : m_width(width), m_left(left) {
        const double secant = (right.value - left.value) / width;
        m_c2 = 3.0 * secant - 2.0 * left.slope - right.slope;
        m_c3 = left.slope + right.slope - 2.0 * secant;
    }

    ValueSlope at(double s) const {
        return {m_left.value + m_width * s * (m_left.slope + s * (m_c2 + s * m_c3)),
                m_left.slope + s * (2.0 * m_c2 + 3.0 * s * m_c3)};
    }

    /// The second derivative.
    double bend(double s) const { return (2.0 * m_c2 + 6.0 * m_c3 * s) / m_width; }

    double c2() const { return m_c2; } ///< as a slope
    double c3() const { return m_c3; } ///< likewise

private:
    double m_width;
    ValueSlope m_left;
    double m_c2;
    double m_c3;
};

/// Cubic::at() where it is asked once.
inline ValueSlope hermite(double width, double s, ValueSlope left, ValueSlope right) {
    return Cubic(width, left, right).at(s);
}

} // namespace valve
