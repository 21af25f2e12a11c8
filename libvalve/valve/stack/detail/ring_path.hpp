#pragma once

#include <valve/core/bracket.hpp>
#include <valve/stack/detail/inertia.hpp>
#include <valve/stack/detail/minimise.hpp>
#include <valve/stack/detail/ring_problem.hpp>
#include <valve/stack/detail/round_on_ring.hpp>
#include <valve/stack/lift_law.hpp>
#include <valve/stack/uneven.hpp>
#include <valve/stack/waves.hpp>

#include <initializer_list>
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

/// Means of the seat lift, and their slopes along the pressure.
struct RingMeans {
    LiftLaw::Value ring;      ///< round the ring
    LiftLaw::Value open_arcs; ///< over the arcs of the ports; without windows of the ring
};

/// How a state changes along the pressure.
struct RingRates {
    RingMeans means;      ///< lifts, and their slopes
    double swept = 0.0;   ///< ∫ q ∂w_1/∂p dA, q the load per unit of pressure [m³/Pa]
    Inertia::Sums even;   ///< of ∂w/∂p, what is the same all round
    Inertia::Sums uneven; ///< of the harmonics
};

/// Equilibria of one stack that is not round, along the pressure.
///
/// Over windows, and where a preload alone buckles the round shape, they are followed from rest: there the
/// stack stands in waves where its round shape is no minimum. Without, the branch is found that grows out of
/// the round shape where it buckles: waves of a thousandth of the pressure bend the stack from below that
/// pressure to a little above it and are let go; what remains is followed up and down. Stronger ones, and
/// further up, only where those leave it round: they may push it past small waves into others, which are
/// there at the same pressure where shims part. Where a branch folds back, so that no step however short
/// stays on it, the stack snaps: the energy falls to the next minimum. Every state is found from the nearest
/// of a fixed ladder of pressures, so that answers do not depend on what was asked before.
class RingPath {
public:
    /// `waves`: where the round shape of a stack without windows buckles. Throws std::invalid_argument for
    /// neither windows nor waves, and as RingProblem.
    RingPath(const Stack& stack, const std::optional<Waves>& waves, const RingDivision& division = {});
    RingPath(const RingPath&) = delete; // refers into itself
    RingPath& operator=(const RingPath&) = delete;

    const RingProblem& problem() const { return m_problem; }

    /// Where the round shape buckles; none over windows.
    const std::optional<Waves>& waves() const { return m_waves; }

    /// Where the waves begin to grow, that do not stand at rest: where the round shape buckles. Of several
    /// leaves that is told of shims that touch at their middles, and waves grow up to some per cent beside
    /// it.
    const Growth& growth() const { return m_growth; }

    /// The lift at `pressure` [Pa]; none where no equilibrium was found or it lies beyond the theory, see
    /// refusal(), and where the shape is round, below the waves.
    std::optional<UnevenLift> at(double pressure);

    /// Means of the lift at `pressure` [Pa], with slopes by the state's own tangent; none as for at(), but
    /// for the limits of the theory, which hold up to the rung above.
    std::optional<RingMeans> means_at(double pressure);

    /// How the stack moves through `pressure` [Pa]; none as for means_at().
    std::optional<RingRates> rates_at(double pressure);

    /// The state itself; none as for at(), but for the limits of the theory, which hold up to the rung below.
    std::optional<State> state_at(double pressure);

    /// Pressure of a rung of the ladder [Pa]: rising, and zero for rung 0, or a quarter above where waves
    /// grow from. Of waves rungs below it go down to there.
    double pressure_of(int rung) const;

    /// The lowest rung that the flow law stands on.
    int first_rung() const { return from_rest() ? 0 : -1; }

    /// Whether the state of a rung is there, above rung 0 within the theory; else refusal() says why.
    bool reaches(int number) { return rung(number) != nullptr; }

    /// Whether there is a state within the theory at `pressure` [Pa]; else refusal() says why.
    bool holds_at(double pressure);

    /// Where the theory, or the strip, ends above `low` [Pa], which is within it, and below `high`, which is
    /// not; to 1e-2.
    double end_between(double low, double high);

    /// How far a limit of the strip was looked for.
    struct Passing {
        Evaluated low;                    ///< not passed up to there [Pa], and the share there less 1
        std::optional<StressLimit> found; ///< above `low`
    };

    /// From where on a limit of the strip is passed, the share of which is `share`: looked for above what is
    /// known, which goes on to the rung above `high` [Pa] where there is one, and located to 1e-3. None where
    /// it is not passed up to `high`.
    std::optional<StressLimit> passes(Passing& known, double high,
                                      std::optional<double> (*share)(double, const plate::Material&));

    /// Whether `pressure` is one at which at() could give a lift.
    bool is_uneven(double pressure) const { return from_rest() || pressure > m_growth.pressure; }

    /// Where the land lets go, up to `end` [Pa]; of a stack with windows.
    UnevenCrack cracks(double end);

    /// The first of them, looked for no further than it must [Pa]; none up to `end`.
    std::optional<double> opens(double end);

    /// Why the last lift asked for was not given, with the pressure.
    const std::string& refusal() const { return m_refusal; }

private:
    const State* rung(int number);
    std::optional<State> moving_at(double pressure);
    bool within_theory(const State& state, const std::vector<StressPeak>& peaks);
    int rung_for(double pressure) const;
    bool from_rest() const { return !m_waves || !(m_waves->pressure > 0.0); }
    bool find_rest(State& state);
    bool bend_at_rest(State& state);
    bool bend(const State& from, double pressed, int most_steps, State& state);
    void leave_rest(const State& rest);
    bool find_branch(State& state);
    bool search_branch(const State& begin, State& state);
    std::optional<State> round_along(std::initializer_list<double> pressures) const;
    bool step_to(double pressure, State& state, int depth = 0);
    std::optional<double> lets_go(int node, double end);
    std::optional<bool> is_pressed(double pressure, int node);
    bool is_pressed(const State& state, int node) const;
    Eigen::VectorXd means(bool over_arcs) const;
    RingMeans means_of(const State& state) const;
    UnevenLift sum_up(const State& state, const std::vector<StressPeak>& peaks) const;

    Problem m_round;
    std::optional<Waves> m_waves; ///< none: windows
    RingProblem m_problem;
    Minimiser m_minimiser;
    std::optional<Inertia> m_inertia; ///< once it is asked for
    std::map<int, State> m_rungs;
    std::optional<State> m_moving; ///< the last that was asked for with its rates
    Growth m_growth;
    double m_first_pressure = 0.0;    ///< of rung 1, from rest [Pa]
    std::optional<State> m_left_rest; ///< at the least pressure, from flat shims
    int m_base = 0;                   ///< the rung that the others are followed from
    bool m_may_snap = true;           ///< a step may leave a branch where that folds back
    std::string m_no_start;           ///< why there is not even a first rung
    std::optional<int> m_top;         ///< the first rung beyond the theory
    std::string m_beyond;             ///< why it is
    Eigen::VectorXd m_edge_at_rest;   ///< of the face shim's rim, at the nodes of the basis [m]
    std::string m_refusal;
};

} // namespace valve::stack
