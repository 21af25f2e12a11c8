#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/flow/spec.hpp>
#include <valve/stack/lift_curve.hpp>
#include <valve/stack/linear_error.hpp>
#include <valve/stack/ring.hpp>
#include <valve/stack/uneven.hpp>
#include <valve/stack/waves.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::study {

/// A chosen pressure and the state there, or why there is none.
struct LiftRow {
    double pressure = 0.0;                 ///< [Pa]
    std::optional<stack::LiftPoint> state; ///< where the shape is not round that of `uneven`
    std::string error;
    std::optional<double> linear_seat_lift =
        std::nullopt; ///< what linear plates would say [m]; beside large deflection
    /// Of a round shape over windows; none where their harmonics do not hold.
    std::optional<stack::RingLift> ring = std::nullopt;
    std::optional<stack::UnevenLift> uneven = std::nullopt; ///< none where the shape is round
    std::optional<double> round_lift = std::nullopt;        ///< beside `uneven`: of the round shape [m]
};

/// The lift of one valve's stack.
struct LiftResult {
    std::string name; ///< "base.refill"
    flow::Valve valve;
    stack::Theory theory = stack::Theory::linear;
    std::optional<stack::LiftCurve> curve; ///< none: `error` says why
    std::string error;
    std::vector<LiftRow> rows;                                     ///< the points shown
    std::optional<stack::LinearError> linear_error = std::nullopt; ///< of shims in large deflection
    stack::Shape shape = stack::Shape::round;
    std::optional<stack::RingCurve> ring = std::nullopt;           ///< of ports that are windows
    std::optional<stack::UnevenCrack> uneven_crack = std::nullopt; ///< of those, as the stack bends
    std::optional<stack::Waves> waves = std::nullopt;              ///< none: round to the end of the curve

    /// Some row, or the whole curve, has no solution.
    bool failed() const;
};

/// Follows the stack of `valve` and solves it at `pressures` [Pa], in the order asked; none asked: the points
/// of its curve. The shape is that of the options of `lifts`. Beside large deflection stands what linear
/// plates would say, beside the mean of the ring what windows and waves make of it: as the stack bends, rows,
/// limits of the strip and the end of the curve are those of its true shape, events and crack those of the
/// round one. Whatever has no solution says so in the result.
LiftResult lift_result(std::string name, const flow::Valve& valve, const std::vector<double>& pressures,
                       damper::LiftCache& lifts);

} // namespace valve::study
