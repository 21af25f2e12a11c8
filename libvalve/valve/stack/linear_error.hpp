#pragma once

#include <valve/stack/lift_curve.hpp>

#include <optional>

namespace valve::stack {

/// What linear plates would make of a stack whose lift curve is known in large deflection.
struct LinearError {
    double crack_pressure = 0.0; ///< of linear plates [Pa]
    /// Lowest pressure at which their seat lift is off by more than `noticeable` [Pa]; none: nowhere up to
    /// the end that both curves have.
    std::optional<double> from_pressure;
    double end_pressure = 0.0; ///< up to which both were compared [Pa]

    static constexpr double noticeable = 0.05; ///< share of the true lift
};

/// Compares seat lifts of a curve in large deflection with the linear one of the same stack. Lifts below 1 µm
/// count as 1 µm, which no bench resolves.
LinearError linear_error(const LiftCurve& curve, const LiftCurve& linear);

} // namespace valve::stack
