#pragma once

#include <valve/core/root.hpp>

#include <cstddef>
#include <vector>

namespace valve {

/// Slopes at the points (x rising, two or more) for cubics between them that do not overshoot: a mean of the
/// neighbouring secants, none at a turn, the secant itself at the ends.
/// Source: fritsch_butland_1984 (the mean).
inline std::vector<double> monotone_slopes(const std::vector<double>& x, const std::vector<double>& y) {
    const std::size_t last = x.size() - 1;
    const auto width = [&](std::size_t i) { return x[i + 1] - x[i]; };
    const auto secant = [&](std::size_t i) { return (y[i + 1] - y[i]) / width(i); };
    std::vector<double> slopes(x.size(), 0.0);
    slopes.front() = secant(0);
    slopes.back() = secant(last - 1);
    for (std::size_t i = 1; i < last; ++i) {
        const double left = secant(i - 1);
        const double right = secant(i);
        if (left * right <= 0.0) continue;
        const double weight = (width(i - 1) + 2.0 * width(i)) / (3.0 * (width(i - 1) + width(i)));
        slopes[i] = left * right / (weight * right + (1.0 - weight) * left);
    }
    return slopes;
}

/// The cubic over an interval of `width` at the share `s` of it, from values and slopes at its ends.
inline ValueSlope hermite(double width, double s, ValueSlope left, ValueSlope right) {
    const double secant = (right.value - left.value) / width;
    const double c2 = 3.0 * secant - 2.0 * left.slope - right.slope;
    const double c3 = left.slope + right.slope - 2.0 * secant;
    return {left.value + width * s * (left.slope + s * (c2 + s * c3)),
            left.slope + s * (2.0 * c2 + 3.0 * s * c3)};
}

} // namespace valve
