#pragma once

namespace valve {

/// Slope of `function` at `x` by central differences of fourth order; error about step⁴ times the fifth
/// derivative.
template <class Function>
double difference_slope(const Function& function, double x, double step) {
    return (8.0 * (function(x + step) - function(x - step)) -
            (function(x + 2.0 * step) - function(x - 2.0 * step))) /
           (12.0 * step);
}

} // namespace valve
