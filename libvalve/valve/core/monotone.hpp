#pragma once

#include <cstddef>
#include <vector>

namespace valve {

/// Slope at a point between two intervals for cubics that do not overshoot: the weighted harmonic mean of
/// their secants, none at a turn.
/// Source: fritsch_butland_1984.
inline double monotone_slope(double left_width, double right_width, double left_secant, double right_secant) {
    if (left_secant * right_secant <= 0.0) return 0.0;
    const double weight = (left_width + 2.0 * right_width) / (3.0 * (left_width + right_width));
    return left_secant * right_secant / (weight * right_secant + (1.0 - weight) * left_secant);
}

/// Slopes at the points (x rising, two or more) for cubics between them that do not overshoot: those of
/// monotone_slope(), the secant itself at the ends.
inline std::vector<double> monotone_slopes(const std::vector<double>& x, const std::vector<double>& y) {
    const std::size_t last = x.size() - 1;
    const auto width = [&](std::size_t i) { return x[i + 1] - x[i]; };
    const auto secant = [&](std::size_t i) { return (y[i + 1] - y[i]) / width(i); };
    std::vector<double> slopes(x.size(), 0.0);
    slopes.front() = secant(0);
    slopes.back() = secant(last - 1);
    for (std::size_t i = 1; i < last; ++i)
        slopes[i] = monotone_slope(width(i - 1), width(i), secant(i - 1), secant(i));
    return slopes;
}

} // namespace valve
