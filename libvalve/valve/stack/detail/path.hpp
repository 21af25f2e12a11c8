#pragma once

#include <valve/stack/detail/minimise.hpp>

#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace valve::stack {

/// Largest slope for which von Kármán strains hold [rad], and stress beyond which no strip stays elastic, as
/// a multiple of its yield.
inline constexpr double steepest_slope = 0.5;
inline constexpr double most_yield = 2.0;

/// The shim that comes nearest to a limit, of the `peaks` of leaves; none where no strip states it.
std::optional<StressShare> nearest_limit(const Problem& problem, const std::vector<StressPeak>& peaks,
                                         std::optional<double> (*share_of)(double, const plate::Material&));

/// Equilibria of one stack along the pressure, each found from the nearest one below it and kept.
///
/// A state found from a nearer start differs in its last digits. So that answers do not depend on what was
/// asked before, a path that has been followed is settled: then every further state is found from those of
/// the curve alone.
class Path {
public:
    Path(const Stack& stack, Theory theory, const plate::Grading& grading);
    Path(const Path&) = delete; // refers into itself
    Path& operator=(const Path&) = delete;

    const Problem& problem() const { return m_problem; }

    /// State at `pressure` [Pa]; none where no equilibrium was found or it lies beyond the theory, see
    /// refusal().
    const State* at(double pressure);

    /// Lift, forces and stress at `pressure` [Pa]; none as for at().
    std::optional<LiftPoint> point(double pressure);

    /// `state` with rates by its own tangent.
    State with_own_rates(State state) {
        m_minimiser.find_rates(state);
        return state;
    }

    /// Keeps the states at `pressures` [Pa], which rise, and at rest, and forgets all others.
    void settle(const std::vector<double>& pressures);

    /// Forgets states that were asked for after settle(), should they be many. Ends what pointers of at()
    /// point to.
    void forget_asked();

    /// Seat lift of a state [m].
    double seat_lift(const State& state) const {
        return state.x[seat_opening()] - m_problem.stack().seat.height;
    }

    /// Rate of the seat lift along the pressure, in a state [m/Pa].
    double lift_rate(const State& state) const { return state.rate[seat_opening()]; }

    /// Why the last state asked for was not given, with the pressure.
    const std::string& refusal() const { return m_refusal; }

    /// The last state asked for exists, but lies beyond what the plate theory, or the strip, bears.
    bool beyond_theory() const { return m_beyond_theory; }

    int factorisations() const { return m_factorisations; }

private:
    struct Known {
        State state;
        std::vector<StressPeak> peaks; ///< of each leaf; in linear theory none until asked for
    };

    Known* known_at(double pressure);
    int seat_opening() const { return m_problem.opening(m_problem.seat_station(), 0); }
    bool step_to(double pressure, State& state, int depth);
    bool within_theory(Known& known);
    LiftPoint sum_up(const Known& known) const;

    Problem m_problem;
    Minimiser m_minimiser;
    std::map<double, Known> m_known;
    std::map<double, Known> m_asked; ///< since settle()
    bool m_settled = false;
    double m_edge_at_rest = 0.0;
    std::string m_refusal;
    bool m_beyond_theory = false;
    int m_factorisations = 0;
};

/// Contacts of a state that come and go: a pair of shims (0: the seat), the hub under the ring, the stop.
struct Contacts {
    std::map<std::pair<int, int>, double>
        pairs; ///< touching pairs of unlike neighbours with the outermost radius where they do [m]
    bool hub = false;
    bool stop = false;
};
Contacts contacts(const Problem& problem, const State& state);

} // namespace valve::stack
