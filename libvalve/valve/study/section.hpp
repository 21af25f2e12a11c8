#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/flow/spec.hpp>
#include <valve/setup/read.hpp>
#include <valve/stack/lift_curve.hpp>
#include <valve/stack/shapes.hpp>
#include <valve/stack/uneven_shape.hpp>
#include <valve/study/curve.hpp>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace valve::study {

/// A pressure that a rod speed brings about.
struct AtSpeed {
    double speed = 0.0;    ///< of the rod, positive in compression [m/s]
    double pressure = 0.0; ///< on the face shim [Pa]
};

/// What the half-section of a valve is drawn from: its geometry, and how the shims lie at rest and bent.
struct Section {
    struct State {
        std::optional<stack::EventKind> event; ///< none: at rest, at a rod speed, or at a round pressure
        std::optional<double> speed;           ///< of the rod, that brings its pressure about [m/s]
        stack::StackShape shape;
        std::optional<stack::UnevenShape> uneven = std::nullopt; ///< where the stack is not round; then the
                                                                 ///< shape is that of its mean load, round
    };

    std::string name; ///< "base.refill"
    flow::Valve valve;
    std::vector<State> states; ///< pressure rising; none: `error` says why
    std::string error;
};

/// The stack of `valve` at rest, at the events of its lift curve that a tuner knows (crack, float start,
/// stop) and at the pressures of `speeds`, events beyond the highest of them left out; without `speeds` at
/// round pressures up to the curve's end. Beyond what is known of a stack that is not round, none.
Section section(std::string name, const flow::Valve& valve, damper::LiftCache& lifts,
                const std::vector<AtSpeed>& speeds = {});

/// What the valve of `name` sees on a damper's curve at 0.1, 0.5, 1 and 2 m/s of the rod and at the fastest,
/// where these are solved and it is open; in rising speed, pressures to four digits.
std::vector<AtSpeed> pressures_seen(const CurveResult& curve, std::string_view name);

/// Of every valve of a reading, by as many threads as the machine has; at the speeds of `curve` unless that
/// is null.
std::vector<Section> sections(const setup::Reading& reading, damper::LiftCache& lifts,
                              const CurveResult* curve = nullptr);

} // namespace valve::study
