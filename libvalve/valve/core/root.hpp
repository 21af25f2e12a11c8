#pragma once

#include <algorithm>
#include <cmath>
#include <limits>

namespace valve {

/// A value and its derivative.
struct ValueSlope {
    double value = 0.0;
    double slope = 0.0;
};

/// Outcome of find_root.
struct Root {
    double x = 0.0;
    int iterations = 0; ///< evaluations of the function
    bool converged = false;
};

namespace detail {

/// Between `low` ≥ 0 and `high`: by ratio while they are orders of magnitude apart, so that an unknown of
/// unknown size is found in a few steps, then by half.
inline double middle(double low, double high) {
    constexpr double smallest_ratio = 1e-16;
    if (high > 4.0 * low) return std::sqrt(std::max(low, smallest_ratio * high)) * std::sqrt(high);
    return low + 0.5 * (high - low);
}

} // namespace detail

/// Root of `function` between `low` ≥ 0 and `high`, to rounding. `function(x)` returns a ValueSlope; it must
/// be continuous, not above zero at `low` and not below zero at `high` (it is not evaluated there to find
/// out). Newton steps from `start`; one that leaves the bracket, or is longer than half the step before it,
/// is replaced by a bisection. Not converged: the function has no number at x.
/// Source: press_2007, section 9.4 (the rule for the safeguard).
template <class Function>
Root find_root(Function&& function, double low, double high, double start) {
    constexpr int most = 400; // bisection alone needs fewer
    constexpr double step_tolerance = 1e-14;
    constexpr double bracket_tolerance = 2.0 * std::numeric_limits<double>::epsilon();

    double x = std::clamp(start, low, high);
    double last_step = high - low;
    for (int iteration = 1; iteration <= most; ++iteration) {
        const ValueSlope f = function(x);
        if (!std::isfinite(f.value)) return {x, iteration, false};
        if (f.value == 0.0) return {x, iteration, true};
        (f.value < 0.0 ? low : high) = x;
        if (high - low <= bracket_tolerance * high) return {x, iteration, true};

        const double newton = -f.value / f.slope;
        if (std::abs(newton) <= step_tolerance * x)
            return {std::clamp(x + newton, low, high), iteration, true};
        const bool inside = x + newton > low && x + newton < high; // false for a slope of zero
        const double next =
            inside && 2.0 * std::abs(newton) <= std::abs(last_step) ? x + newton : detail::middle(low, high);
        last_step = next - x;
        x = next;
    }
    return {x, most, false};
}

} // namespace valve
