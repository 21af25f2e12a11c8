#include <valve/core/detail/index.hpp>
#include <valve/stack/detail/load.hpp>
#include <valve/stack/detail/small_motion.hpp>

namespace valve::stack {
namespace {

/// What holds and what touches at each station: in an equilibrium, or in the unbent stack just lifted.
class Ties {
public:
    Ties(const Problem& problem, const State* state, OnLand on_land)
        : m_problem(problem), m_state(state), m_on_land(on_land) {}

    /// Whether the leaf at `place` of a station touches the one below; for place 0, whether a support holds.
    bool closed(int station, int place) const {
        const int index = m_problem.opening(station, place);
        if (m_state != nullptr) return m_state->hold[at(index)] != Hold::free;
        return m_problem.lower()[index] == 0.0 && (place > 0 || m_problem.upper()[index] == 0.0);
    }

    /// Numbers of w of the leaves at a station; `next` is the next one free.
    std::vector<int> deflections(int station, bool level, int& next) const {
        const int count = static_cast<int>(m_problem.present(station).size());
        std::vector<int> group; // leaves that share w
        for (int p = 0; p < count; ++p)
            group.push_back(p == 0 || closed(station, p) ? (p == 0 ? 0 : group.back()) : group.back() + 1);
        // Under a stop's ring of its own, opening 0 is that of the last leaf.
        const bool from_top = station == m_problem.stop_station() && station != m_problem.ring_station();
        const bool supported =
            closed(station, 0) && !(m_on_land == OnLand::counted && m_problem.on_land(station));
        const int held = supported || level ? group[from_top ? at(count - 1) : 0] : -1;
        std::vector<int> numbers;
        for (int p = 0; p < count; ++p) {
            const bool with_last = p > 0 && group[at(p)] == group[at(p - 1)];
            numbers.push_back(group[at(p)] == held ? -1 : with_last ? numbers.back() : next++);
        }
        return numbers;
    }

private:
    const Problem& m_problem;
    const State* m_state;
    OnLand m_on_land;
};

} // namespace

plate::Vibration small_motion(const Problem& problem, const State* state, int n, OnLand on_land,
                              InPlane in_plane) {
    const Stack& stack = problem.stack();
    const bool bent = state != nullptr && problem.theory() == Theory::large_deflection;
    const Ties ties(problem, state, on_land);

    plate::Vibration vibration;
    vibration.nodal_diameters = n;
    for (int i = 0; i < problem.leaves(); ++i) {
        const Shim& shim = problem.shim_of(i);
        vibration.plates.push_back({shim.thickness, shim.material, problem.shims_in(i), {}, {}});
    }
    for (int k = 0; k < problem.stations(); ++k) {
        vibration.nodes.push_back(problem.radius(k));
        const bool edge = k == problem.ring_station() && stack.edge != InnerEdge::free;
        const std::vector<int> w = ties.deflections(k, edge && n > 0, vibration.unknowns);
        // Without nodal diameters v is a turning on its own; with one, a free shim may drift in its plane.
        const bool drifts = n == 1 && stack.edge == InnerEdge::free;
        const bool u_held = edge || !bent || in_plane == InPlane::left_out;
        const bool v_held = u_held || n == 0 || (drifts && k == 0);
        const auto number = [&](bool held) { return held ? -1 : vibration.unknowns++; };
        const std::vector<int>& here = problem.present(k);
        for (std::size_t p = 0; p < here.size(); ++p)
            vibration.plates[at(here[p])].unknowns.push_back(
                {w[p], number(edge), number(u_held), number(v_held)});
    }
    if (stack.floating) {
        const int station = plate::node_at(vibration.nodes, stack.floating->spring_radius);
        const int last = problem.present(station).back();
        vibration.springs.push_back(
            {vibration.plates[at(last)].unknowns[at(station)].front(), closing_rate(stack)});
    }
    if (!bent) return vibration;
    const Problem::Shapes shapes = problem.shapes(state->x);
    for (std::size_t i = 0; i < vibration.plates.size(); ++i)
        for (std::size_t k = 0; k < shapes.w[i].size(); ++k)
            vibration.plates[i].bent.push_back({shapes.w[i][k], shapes.slope[i][k], shapes.radial[i][k]});
    return vibration;
}

bool lies_on_land(const Problem& problem, const State& state, int station) {
    return problem.on_land(station) && state.hold[at(problem.opening(station, 0))] != Hold::free;
}

} // namespace valve::stack
