#include <valve/plate/vibration.hpp>
#include <valve/stack/follow.hpp>
#include <valve/stack/load.hpp>
#include <valve/stack/modes.hpp>
#include <valve/stack/path.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace valve::stack {
namespace {

std::size_t at(int index) {
    return static_cast<std::size_t>(index);
}

/// What holds and what touches at each station: in an equilibrium, or in the unbent stack just lifted.
class Ties {
public:
    Ties(const Problem& problem, const State* state) : m_problem(problem), m_state(state) {}

    /// Whether the shim at `place` of a station touches the one below; for place 0, whether a support holds.
    bool closed(int station, int place) const {
        const int index = m_problem.opening(station, place);
        if (m_state != nullptr) return m_state->hold[at(index)] != Hold::free;
        return m_problem.lower()[index] == 0.0 && (place > 0 || m_problem.upper()[index] == 0.0);
    }

    /// Numbers of w of the shims at a station; `next` is the next one free.
    std::vector<int> deflections(int station, bool level, int& next) const {
        const int count = static_cast<int>(m_problem.present(station).size());
        std::vector<int> group; // shims that share w
        for (int p = 0; p < count; ++p)
            group.push_back(p == 0 || closed(station, p) ? (p == 0 ? 0 : group.back()) : group.back() + 1);
        // Under a stop's ring of its own, opening 0 is that of the last shim.
        const bool from_top = station == m_problem.stop_station() && station != m_problem.ring_station();
        const int held = closed(station, 0) || level ? group[from_top ? at(count - 1) : 0] : -1;
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
};

/// The stack's plates in motion with `n` nodal diameters about `state`; null: unbent, just lifted.
plate::Vibration vibration_of(const Problem& problem, const State* state, int n) {
    const Stack& stack = problem.stack();
    const bool bent = state != nullptr && problem.theory() == Theory::large_deflection;
    const Ties ties(problem, state);

    plate::Vibration vibration;
    vibration.nodal_diameters = n;
    for (int i = 0; i < problem.shims(); ++i) {
        const Shim& shim = stack.shims[at(problem.number(i) - 1)];
        vibration.plates.push_back({shim.thickness, shim.material, {}, {}});
    }
    for (int k = 0; k < problem.stations(); ++k) {
        vibration.nodes.push_back(problem.radius(k));
        const bool edge = k == problem.ring_station() && stack.edge != InnerEdge::free;
        const std::vector<int> w = ties.deflections(k, edge && n > 0, vibration.unknowns);
        // Without nodal diameters v is a turning on its own; with one, a free shim may drift in its plane.
        const bool drifts = n == 1 && stack.edge == InnerEdge::free;
        const bool v_held = edge || !bent || n == 0 || (drifts && k == 0);
        const auto number = [&](bool held) { return held ? -1 : vibration.unknowns++; };
        const std::vector<int>& here = problem.present(k);
        for (std::size_t p = 0; p < here.size(); ++p)
            vibration.plates[at(here[p])].unknowns.push_back(
                {w[p], number(edge), number(edge || !bent), number(v_held)});
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

double frequency(double square) {
    return std::sqrt(square) / (2.0 * std::numbers::pi);
}

/// Of all the squares, lowest first. What is nothing against the highest is a rigid motion.
std::vector<std::optional<double>> frequencies(const std::vector<double>& squares) {
    constexpr double resolved = 1e-9;
    std::vector<std::optional<double>> found;
    for (const double square : squares) {
        if (square < -resolved * squares.back())
            found.emplace_back(std::nullopt);
        else
            found.emplace_back(frequency(std::max(square, 0.0)));
    }
    return found;
}

Modes modes_of_disc(const Stack& stack, const ModesOptions& options) {
    Modes result;
    if (options.pressure) {
        const LiftPoint point = states_at(stack, std::array{*options.pressure}).front();
        result.on_seat = point.seat_force > 0.0;
        result.on_hub = point.hub_force > 0.0;
        result.on_stop = point.stop_force > 0.0;
    }
    if (result.on_seat || result.on_hub || result.on_stop) return result;
    const double a = stack.disc->outer_radius;
    const double mass = stack.disc->mass;
    const double rate = closing_rate(stack);
    Mode bounce{0, 0, frequency(rate / mass), std::nullopt};
    if (options.oil_density > 0.0)
        bounce.frequency_oil = frequency(rate / (mass + 8.0 / 3.0 * options.oil_density * a * a * a));
    result.modes.push_back(bounce);
    return result;
}

Modes modes_of_shims(const Stack& stack, const ModesOptions& options) {
    Path path(stack, options.theory, options.grading);
    const Problem& problem = path.problem();
    Modes result;
    const State* state = nullptr;
    if (options.pressure) {
        state = path.at(*options.pressure);
        if (state == nullptr) throw SolveError(path.refusal());
        const Contacts touching = contacts(problem, *state);
        result.on_seat = !touching.pairs.empty() && touching.pairs.begin()->first.first == 0;
        result.on_hub = touching.hub;
        result.on_stop = touching.stop;
    }
    for (int n = 0; n <= options.most_diameters; ++n) {
        plate::Vibration vibration = vibration_of(problem, state, n);
        const auto air = frequencies(plate::lowest_squares(vibration, options.families));
        std::vector<std::optional<double>> oil(air.size());
        if (options.oil_density > 0.0) {
            vibration.oil_density = options.oil_density;
            oil = frequencies(plate::lowest_squares(vibration, options.families));
        }
        for (std::size_t family = 0; family < air.size(); ++family)
            result.modes.push_back({n, static_cast<int>(family), air[family], oil[family]});
    }
    return result;
}

} // namespace

Modes natural_frequencies(const Stack& stack, const ModesOptions& options) {
    if (options.most_diameters < 0 || options.families < 1 || !(options.oil_density >= 0.0) ||
        (options.pressure && !(*options.pressure >= 0.0)))
        throw std::invalid_argument("ModesOptions: a negative number, or no family");
    if (stack.disc && !(stack.disc->mass > 0.0))
        throw std::invalid_argument("natural_frequencies: the disc has no mass");
    return stack.disc ? modes_of_disc(stack, options) : modes_of_shims(stack, options);
}

} // namespace valve::stack
