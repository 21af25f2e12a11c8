#pragma once

#include <valve/plate/detail/fourier_element.hpp>
#include <valve/stack/detail/minimise.hpp>

#include <array>
#include <map>
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

    /// Whether `state` resists 2 to 5 waves; `likely`, if any, is the number to try first.
    bool stays_round(const State& state, int likely = 0);

    /// The fewest of 2 to 5 waves that buckle out of `state`; 0: none do. In stacks of common sizes 3 or 4
    /// come first, seldom 5.
    int buckles_into(const State& state);

    /// States and numbers of waves proved by each of the three so far, or disproved by the last.
    const std::array<int, 3>& counts() const { return m_counts; }

private:
    /// A leaf's element bent, and what that weighs against.
    struct Bent {
        const plate::BentElement::State state;
        double inner = 0.0; ///< [m]
        double size = 0.0;  ///< [m]
        double slack = 0.0; ///< C/D, of one shim [1/m²]
        double poisson_ratio = 0.0;
    };

    std::vector<Bent> bend(const State& state);
    bool resists(const std::vector<Bent>& bent, const State& state, int n);
    plate::FourierMesh& mesh(int n);

    const Problem& m_problem;
    std::map<double, std::vector<plate::BentElement>> m_elements; ///< by Poisson's ratio
    std::map<int, plate::FourierMesh> m_meshes;
    std::array<int, 3> m_counts{};
};

} // namespace valve::stack
