#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/study/search.hpp>

#include <memory>
#include <string>

namespace valve::tests {

/// The demo fork with a small stack in its base valve.
inline setup::Reading small_fork(const std::string& shims = "[2 * 24 x 0.15, 18 x 0.15]") {
    return setup::read(setup::Document::load(VALVE_SOURCE_DIR "/stacks/rally-fork.yaml",
                                             {{"valves.base.compression.shims", shims}}));
}

inline study::Goal goal_of(const std::string& lines) {
    return study::resolve(setup::Goal::parse("format: 1\ngoal:\n" + lines, "goal.yaml"));
}

inline damper::LiftCache linear_lifts() {
    return damper::LiftCache(stack::FollowOptions{stack::Theory::linear, 200e5},
                             std::make_shared<stack::Solutions>(200));
}

} // namespace valve::tests
