#pragma once

#include <support/catch.hpp>
#include <valve/motion/detail/dynamics.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <vector>

namespace valve::tests {

/// Central differences of the rates beside the Jacobian, where no sign changes.
inline void check_jacobian(motion::detail::Dynamics& dynamics, double t, const std::vector<double>& y) {
    const std::size_t n = dynamics.size();
    const std::size_t unknowns = dynamics.coupled();
    std::vector<double> exact(unknowns * unknowns, 0.0);
    dynamics.jacobian(t, y, motion::detail::Columns(exact.data(), unknowns));
    motion::CycleOptions options;
    options.pressure_error = 1.0;
    const std::vector<double> tolerances = dynamics.tolerances(options);
    std::vector<double> plus(n);
    std::vector<double> minus(n);
    for (std::size_t column = 0; column < unknowns; ++column) {
        const double step = std::max(1e-5 * std::abs(y[column]), 1e-3 * tolerances[column]);
        std::vector<double> moved = y;
        moved[column] = y[column] + step;
        dynamics.rates(t, moved, plus);
        moved[column] = y[column] - step;
        dynamics.rates(t, moved, minus);
        for (std::size_t row = 0; row < unknowns; ++row) {
            CAPTURE(row, column);
            const double difference = (plus[row] - minus[row]) / (2.0 * step);
            const double rounding = 1e-9 * (std::abs(plus[row]) + std::abs(minus[row])) / step;
            CHECK_THAT(exact[column * unknowns + row],
                       WithinAbs(difference, 1e-4 * std::abs(difference) + rounding));
        }
    }
}

} // namespace valve::tests
