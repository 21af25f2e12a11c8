#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/flow/spec.hpp>
#include <valve/report/json.hpp>
#include <valve/stack/shapes.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// What the half-section of a valve is drawn from: its geometry, and how the shims lie at rest and bent.
struct Section {
    struct State {
        std::string what; ///< "at rest", "crack"; empty at a round pressure
        stack::StackShape shape;
    };

    std::string name; ///< "base.refill"
    flow::Valve valve;
    std::vector<State> states; ///< pressure rising; none: `error` says why
    std::string error;
};

/// The stack of `valve` at rest, at the events of its lift curve that a tuner knows (crack, float start,
/// stop) and at round pressures up to the curve's end.
Section section(std::string name, const flow::Valve& valve, damper::LiftCache& lifts);

/// Lengths in metres, rounded to a nanometre; shapes thinned out to what a drawing can show.
Json json(const Section& section);

} // namespace valve::report
