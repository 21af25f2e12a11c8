#pragma once

#include <valve/damper/model.hpp>
#include <valve/stack/follow.hpp>
#include <valve/stack/ring_curve.hpp>
#include <valve/stack/waves.hpp>

#include <deque>
#include <optional>
#include <vector>

namespace valve::damper {

/// Lift curves by the content of their stacks, so that set-ups which share a stack share its solution.
class LiftCache {
public:
    explicit LiftCache(const stack::FollowOptions& options = {}) : m_options(options) {}

    const stack::FollowOptions& options() const { return m_options; }

    /// The lift curve of `stack`, computed at the first call. Stays valid as long as the cache. Throws as
    /// stack::follow().
    const stack::LiftCurve& curve(const stack::Stack& stack) { return entry(stack).curve; }

    /// Where the round shape of `stack` buckles into waves, looked for at the first call. Throws as
    /// stack::follow().
    const std::optional<stack::Waves>& waves(const stack::Stack& stack);

    /// The pressure on the face shim up to which the harmonics hold that the law of `valve` is made of [Pa];
    /// none: to the end, or the law is that of the mean. Throws as laws().
    std::optional<double> windows_hold_until(const flow::Valve& valve);

    /// The lift laws of the valves in `setup`, over the ports where flow::opens_over_ports(). Throws as
    /// stack::follow() and stack::open_arcs_law().
    LiftLaws laws(const SetUp& setup);

    /// `setup` ready to be solved. Throws as laws() and Model().
    Model model(const SetUp& setup);

    std::size_t size() const { return m_entries.size(); }

private:
    struct Entry {
        stack::Stack stack;
        stack::LiftCurve curve;
        stack::LiftLaw law;
        std::optional<stack::ArcsLaw> over_ports = std::nullopt;         ///< where it was asked for
        std::optional<std::optional<stack::Waves>> waves = std::nullopt; ///< the same
    };

    Entry* find(const stack::Stack& stack);
    Entry& entry(const stack::Stack& stack);

    /// Solves those of `stacks` that are new, by as many threads as the machine runs at once; the result does
    /// not depend on their number. Throws for the first in the list that has no curve.
    void solve(const std::vector<stack::Stack>& stacks);

    const stack::LiftLaw& law(const flow::Valve& valve);
    const stack::ArcsLaw& arcs_law(const flow::Valve& valve);

    stack::FollowOptions m_options;
    std::deque<Entry> m_entries; // a deque, so that curves stay where they are
};

} // namespace valve::damper
