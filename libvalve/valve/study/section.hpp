#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/flow/spec.hpp>
#include <valve/setup/read.hpp>
#include <valve/stack/lift_curve.hpp>
#include <valve/stack/shapes.hpp>
#include <valve/stack/uneven_shape.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::study {

/// What the half-section of a valve is drawn from: its geometry, and how the shims lie at rest and bent.
struct Section {
    struct State {
        std::optional<stack::EventKind> event; ///< none: at rest, or at a round pressure
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
/// stop) and at round pressures up to the curve's end; beyond what is known of a stack that is not round,
/// none.
Section section(std::string name, const flow::Valve& valve, damper::LiftCache& lifts);

/// Of every valve of a reading, by as many threads as the machine has.
std::vector<Section> sections(const setup::Reading& reading, damper::LiftCache& lifts);

} // namespace valve::study
