#pragma once

#include <valve/damper/model.hpp>
#include <valve/stack/solutions.hpp>

#include <memory>
#include <optional>
#include <utility>

namespace valve::damper {

/// The stacks of set-ups, solved under one theory, so that set-ups which share a stack share its solution.
/// Threads may ask at the same time.
class LiftCache {
public:
    /// A cache that shares its solutions with no other.
    explicit LiftCache(const stack::FollowOptions& options = {})
        : LiftCache(options, std::make_shared<stack::Solutions>()) {}

    /// With `solutions` shared with others, who may solve under other options. Not null.
    LiftCache(const stack::FollowOptions& options, std::shared_ptr<stack::Solutions> solutions)
        : m_options(options), m_solutions(std::move(solutions)) {}

    const stack::FollowOptions& options() const { return m_options; }

    /// Sharing its solutions, with every stack taken for round.
    LiftCache as_round() const {
        stack::FollowOptions options = m_options;
        options.shape = stack::Shape::round;
        return {options, m_solutions};
    }

    /// Whether laws() are of stacks that may bend round the ring.
    bool follows_bending() const {
        return m_options.shape != stack::Shape::round && m_options.theory != stack::Theory::linear;
    }

    /// The solution of `stack`. Throws as stack::Solutions::of().
    std::shared_ptr<const stack::Solution> solution(const stack::Stack& stack) {
        return m_solutions->of(stack, {m_options.theory, m_options.max_pressure}); // of either shape
    }

    /// A copy of the lift curve of `stack`. Throws as stack::Solution and its law().
    stack::LiftCurve curve(const stack::Stack& stack);

    /// Where the round shape of `stack` buckles into waves; none up to `pressure` [Pa]. Throws as curve().
    std::optional<stack::Waves> waves(const stack::Stack& stack, double pressure) {
        return solution(stack)->waves_up_to(pressure);
    }

    /// How the stack of `valve` bends, as in laws(); null: taken for round.
    flow::ValveLaw::Bent bent(const flow::Valve& valve);

    /// Whether the law of `valve` follows its stack as it bends round the ring, up to `pressure` [Pa]. Throws
    /// as laws().
    bool bends(const flow::Valve& valve, double pressure);

    /// From where on the stack of `valve` passes limits of its strip, in the shape that its law has, looked
    /// for up to `pressure` [Pa] where that is not round. Throws as curve().
    stack::StressLimits limits(const flow::Valve& valve, double pressure);

    /// The pressure on the face shim up to which the harmonics hold that the law of `valve` is made of [Pa];
    /// none: to the end, or the law is not made of them. Throws as laws().
    std::optional<double> windows_hold_until(const flow::Valve& valve);

    /// The lift laws of the valves in `setup`, over the ports where flow::opens_over_ports(), and those of
    /// the stacks as they bend unless the shape of the options is round. New stacks are solved by as many
    /// threads as the machine runs at once; the result does not depend on their number. Throws as
    /// stack::Solution and its law() and law_over_ports(), for the first place that has no law.
    LiftLaws laws(const SetUp& setup);

    /// `setup` ready to be solved. Throws as laws() and Model().
    Model model(const SetUp& setup) { return Model(setup, laws(setup)); }

    std::size_t size() const { return m_solutions->size(); }

private:
    stack::FollowOptions m_options;
    std::shared_ptr<stack::Solutions> m_solutions;
};

} // namespace valve::damper
