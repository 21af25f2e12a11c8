#pragma once

#include <valve/damper/lift_cache.hpp>

#include <array>
#include <span>
#include <string>
#include <vector>

namespace valve::validation::notes {

inline constexpr double mm = 1e-3; // [m]
inline constexpr double bar = 1e5; // [Pa]
/// Rod speeds at which the fork's damping is told [m/s].
inline constexpr std::array<double, 4> speeds{1.0, 3.0, -1.0, -3.0};

/// Pressures at which lifts are told [Pa].
inline constexpr std::array<double, 3> pressures{2.0 * bar, 5.0 * bar, 10.0 * bar};

struct NamedStack {
    std::string name;
    stack::Stack stack;
};

/// When a stack opens, and how high it lifts.
struct Opening {
    double crack = 0.0;         ///< [Pa]
    std::array<double, 3> lift; ///< at `pressures` [m]
};

/// The demo fork, its four stacks, and one shim alone; with all lift curves that were asked for.
class Demo {
public:
    Demo();

    const damper::SetUp& fork() const { return m_fork; }
    const std::vector<NamedStack>& stacks() const { return m_stacks; }

    /// Change from which a detail is said to matter [-]: half of what one shim less at the face of every
    /// stack does to the damping force at `speeds` where it does least. One shim is the smallest step in a
    /// build, so less than half of it would not change the build (common practice, no source).
    double half_a_step() const { return m_half_a_step; }

    Opening opening(const stack::Stack& stack);

    /// Damping forces of `fork` at mid travel and these rod speeds [m/s], in [N]; with the lift laws given,
    /// or those of its stacks.
    std::vector<double> damping_forces(const damper::SetUp& fork, std::span<const double> at);
    std::vector<double> damping_forces(const damper::SetUp& fork, const damper::LiftLaws& laws,
                                       std::span<const double> at) const;

    /// Of the fork's valves.
    std::shared_ptr<const stack::Solution> solution(const stack::Stack& stack) {
        return m_lifts.solution(stack);
    }
    damper::LiftLaws laws() { return m_lifts.laws(m_fork); }

private:
    damper::SetUp m_fork;
    std::vector<NamedStack> m_stacks;
    damper::LiftCache m_lifts;
    double m_half_a_step = 0.0;
};

/// Takes the face shim off a stack whose next shim is as large; others stay as they are.
void drop_face_shim(stack::Stack& stack);

/// `fork` with the same done to every stack.
template <class Change>
damper::SetUp with_every_stack(damper::SetUp fork, Change&& change) {
    for (const damper::Place place : damper::all_places)
        change(fork.valves[place].value().stack);
    return fork;
}

} // namespace valve::validation::notes
