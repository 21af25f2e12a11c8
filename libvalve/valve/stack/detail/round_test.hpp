#pragma once

#include <valve/plate/detail/fourier_element.hpp>
#include <valve/plate/detail/vibration.hpp>
#include <valve/stack/detail/minimise.hpp>

#include <map>
#include <optional>
#include <vector>

namespace valve::stack {

/// Whether the round `state` resists every small motion with `nodal_diameters` waves round the ring: whether
/// its stiffness against them is positive definite. Shims that touch move together.
bool is_stable(const Problem& problem, const State& state, int nodal_diameters);

/// The same of many states in large deflection, and cheaper, from the surest and cheapest proof to the whole
/// stiffness:
///   - at every integration point bending outweighs what the membrane forces of the state take off,
///   - it does so over the whole stack, with what motions stretch left out,
///   - the whole stiffness is positive definite.
/// The first two only ever say yes where the third does.
class RoundTest {
public:
    explicit RoundTest(const Problem& problem) : m_problem(problem) {}

    /// The numbers of waves, of those asked for, that buckle out of `state`, in the order in which they were
    /// asked for. In stacks of common sizes 3 or 4 come first, seldom 5.
    std::vector<int> buckles_into(const State& state, const std::vector<int>& waves = {2, 3, 4, 5});

private:
    /// A leaf's element bent, and what that weighs against.
    struct Bent {
        const plate::BentElement::State state;
        double inner = 0.0; ///< [m]
        double size = 0.0;  ///< [m]
        double slack = 0.0; ///< C/D, of one shim [1/m²]
        double poisson_ratio = 0.0;
    };

    /// What all numbers of waves have in common, made where it is asked for.
    struct Motions {
        std::optional<plate::Vibration> by_w; ///< with what motions stretch left out
        std::optional<plate::Vibration> whole;
    };

    std::vector<Bent> bend(const State& state);
    bool resists(const std::vector<Bent>& bent, const State& state, Motions& motions, int n);
    plate::FourierMesh& mesh(int n);

    const Problem& m_problem;
    std::map<double, std::vector<plate::BentElement>> m_elements; ///< by Poisson's ratio
    std::map<int, plate::FourierMesh> m_meshes;
};

} // namespace valve::stack
