#pragma once

#include <valve/stack/detail/minimise.hpp>
#include <valve/stack/detail/ring_problem.hpp>
#include <valve/stack/uneven.hpp>
#include <valve/stack/waves.hpp>

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace valve::stack {

/// How finely a RingPath divides a stack.
struct RingDivision {
    plate::Grading along{.elements = 14}; ///< the radius
    /// Half a pitch of three or more; of fewer, accordingly more. Contact at the edges of windows asks for
    /// more than smooth waves.
    int windows = 6;
    int waves = 4;
};

/// Equilibria of one stack that is not round, along the pressure.
///
/// Over windows they are followed from rest. Without, the branch is found that grows out of the round shape
/// where it buckles: waves of a tenth of the pressure bend the stack from below that pressure to a quarter
/// above it and are let go; what remains is followed up and down. Every state is found from the nearest of a
/// fixed ladder of pressures, so that answers do not depend on what was asked before.
class RingPath {
public:
    /// `waves`: where the round shape of a stack without windows buckles. Throws std::invalid_argument for
    /// neither windows nor waves, and as RingProblem.
    RingPath(const Stack& stack, const std::optional<Waves>& waves, const RingDivision& division = {});
    RingPath(const RingPath&) = delete; // refers into itself
    RingPath& operator=(const RingPath&) = delete;

    const RingProblem& problem() const { return m_problem; }

    /// The lift at `pressure` [Pa]; none where no equilibrium was found or it lies beyond the theory, see
    /// refusal(), and where the shape is round, below the waves.
    std::optional<UnevenLift> at(double pressure);

    /// Whether `pressure` is one at which at() could give a lift.
    bool is_uneven(double pressure) const { return !m_waves || pressure > m_waves->pressure; }

    /// Where the land lets go, up to `end` [Pa]; of a stack with windows.
    UnevenCrack cracks(double end);

    /// Why the last lift asked for was not given, with the pressure.
    const std::string& refusal() const { return m_refusal; }

private:
    std::optional<State> state_at(double pressure);
    const State* rung(int number);
    bool within_theory(const State& state, const std::vector<StressPeak>& peaks);
    double pressure_of(int rung) const;
    int rung_for(double pressure) const;
    bool find_branch(State& state);
    bool step_to(double pressure, State& state, int depth = 0);
    std::optional<double> lets_go(int node, double end);
    bool is_pressed(const State& state, int node) const;
    UnevenLift sum_up(const State& state, const std::vector<StressPeak>& peaks) const;

    Problem m_round;
    std::optional<Waves> m_waves; ///< none: windows
    RingProblem m_problem;
    Minimiser m_minimiser;
    std::map<int, State> m_rungs;
    std::string m_no_start;         ///< why there is not even a first rung
    std::optional<int> m_top;       ///< the first rung beyond the theory
    std::string m_beyond;           ///< why it is
    Eigen::VectorXd m_edge_at_rest; ///< of the face shim's rim, at the nodes of the basis [m]
    std::string m_refusal;
};

} // namespace valve::stack
