#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/flow/spec.hpp>
#include <valve/stack/lift_curve.hpp>
#include <valve/stack/linear_error.hpp>
#include <valve/stack/ring.hpp>
#include <valve/stack/uneven.hpp>
#include <valve/stack/uneven_shape.hpp>
#include <valve/stack/wave_branches.hpp>
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

    /// Of the last row in waves; none until add_wave_branches().
    std::optional<std::vector<stack::WaveBranch>> wave_branches = std::nullopt;
    /// Of the last row that is not round; none until add_shape().
    std::optional<stack::UnevenShape> last_shape = std::nullopt;

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

/// Adds which other numbers of waves the last row that is not round could be found in, the one that is told
/// first; empty where there are no waves. `lifts` are those that `result` comes from.
void add_wave_branches(LiftResult& result, damper::LiftCache& lifts);

/// Adds how the stack lies in the last row that is not round, if there is one.
void add_shape(LiftResult& result, damper::LiftCache& lifts);

} // namespace valve::study
