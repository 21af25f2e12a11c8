#include <valve/core/bracket.hpp>
#include <valve/stack/detail/path.hpp>
#include <valve/stack/detail/ring_path.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace valve::stack {
namespace {

// The ladder. Over windows, and in waves at rest, it begins at rest (rung 0) and a low pressure; of waves
// rung 0 is a quarter above where they grow from, and below it the rungs come near that.
constexpr double first_pressure = 1e3; // [Pa]
constexpr double as_linear = 0.1;      // of the thinnest shim: deflections that still go with the pressure
constexpr double ratio_of_windows = 1.5;
constexpr double ratio_of_waves = 1.25;
constexpr double of_rung_0 = 1.25; // of the pressure of buckling
constexpr int lowest_rung = -10;

// How the branch is found: at which rung, pushed by which share of the pressure on the way there.
struct Search {
    double unevenness;
    int rung;
};
constexpr std::array<Search, 3> searches{{{0.001, -4}, {0.01, -4}, {0.1, 0}}};
constexpr std::array<double, 3> on_the_way{0.5, 0.9, 1.05}; // of the pressure of buckling

// How waves are found where the shape at hand is no minimum: harmonics tried, and line loads as shares of
// what presses.
constexpr int most_harmonics_pushed = 3;
constexpr std::array<double, 3> pushes{0.003, 0.03, 0.3};

plate::RingBasis basis_of(const Stack& stack, const std::optional<Waves>& waves,
                          const RingDivision& division) {
    if (stack.windows < 1 && !waves) throw std::invalid_argument("stack::RingPath: the stack stays round");
    const int count = stack.windows > 0 ? stack.windows : waves->count;
    const int three = stack.windows > 0 ? division.windows : division.waves;
    const int intervals = count >= 3 ? three : (3 * three + count - 1) / count;
    return {count, intervals, intervals};
}

} // namespace

RingPath::RingPath(const Stack& stack, const std::optional<Waves>& waves, const RingDivision& division)
    : m_round(stack, Theory::large_deflection, division.along),
      m_waves(stack.windows > 0 ? std::nullopt : waves), m_problem(m_round, basis_of(stack, waves, division)),
      m_minimiser(m_problem) {
    if (m_waves) m_growth.pressure = m_waves->pressure;
    State rest = m_minimiser.start();
    if (!find_rest(rest)) {
        m_no_start = m_refusal;
        return;
    }
    m_edge_at_rest = m_problem.face_lift(rest.x, m_round.last_station(0));
    if (from_rest()) leave_rest(rest);
    if (from_rest() || find_branch(rest)) {
        if (m_base >= first_rung()) m_minimiser.refine_rates(rest);
        m_rungs.emplace(m_base, std::move(rest));
    } else
        m_no_start = m_refusal;
}

/// Where the stack stands without pressure.
bool RingPath::find_rest(State& state) {
    const Outcome outcome = m_minimiser.solve(0.0, state);
    // Where the round shape buckles later, it is what the branch grows out of.
    if (outcome.converged && (outcome.is_minimum || !from_rest())) return true;
    // A preload alone may buckle the stack: Newton's method then leaves the round shape slowly, or stays.
    if (bend_at_rest(state) || outcome.converged) return true;
    m_refusal = fmt::format("no equilibrium found at rest, uneven round the ring: {}", outcome.reason);
    return false;
}

/// Finds rung 1. From flat shims shapes grow with the pressure, their contacts staying, until they bend in
/// the large: no rung is needed before.
void RingPath::leave_rest(const State& rest) {
    m_first_pressure = first_pressure;
    if ((rest.x.array() != 0.0).any()) return;
    State state = rest;
    if (!step_to(first_pressure, state)) return;
    const double grown = m_problem.largest_deflection(state.x) / (as_linear * m_problem.thinnest());
    while (ratio_of_windows * m_first_pressure * grown <= first_pressure)
        m_first_pressure *= ratio_of_windows;
    m_left_rest = std::move(state);
}

/// Bends the stack at rest into waves, from the round shape, with shares of what it presses on the land with.
/// Else false, and `state` is as it was given.
bool RingPath::bend_at_rest(State& state) {
    const std::optional<State> round = round_along({0.0});
    if (!round) return false;
    double pressed = 0.0;
    for (int k = 0; k < m_round.stations(); ++k)
        if (m_round.on_land(k)) pressed += round->gradient[m_round.opening(k, 0)];
    return bend(on_ring(m_problem, *round), pressed, Minimiser::usual_steps, state);
}

/// Bends `from` into waves by a line load, more and more of the force `pressed` [N], and lets go, by the
/// first harmonic that leaves a minimum. Else false, and `state` is as it was given.
bool RingPath::bend(const State& from, double pressed, int most_steps, State& state) {
    const int most = std::min(m_problem.basis().harmonics(), most_harmonics_pushed);
    for (int harmonic = 1; harmonic <= most; ++harmonic)
        for (const double share : pushes) {
            State bent = from;
            m_problem.push_in_waves(harmonic, share * pressed);
            const bool pushed = m_minimiser.solve(from.pressure, bent, most_steps).converged;
            m_problem.push_in_waves(harmonic, 0.0);
            bent.solved = false; // under another load
            const Outcome outcome = pushed ? m_minimiser.solve(from.pressure, bent, most_steps) : Outcome{};
            if (!outcome.converged || !outcome.is_minimum) continue;
            state = std::move(bent);
            return true;
        }
    return false;
}

/// The round shape at the last of `pressures` [Pa]; none where it is not found at once. It takes a fiftieth
/// of what the same takes round the ring.
std::optional<State> RingPath::round_along(std::initializer_list<double> pressures) const {
    Minimiser minimiser(m_round);
    State round = minimiser.start();
    for (const double pressure : pressures)
        if (!minimiser.solve(pressure, round).converged) return std::nullopt;
    return round;
}

bool RingPath::find_branch(State& state) {
    const double buckled = m_waves->pressure;
    const std::optional<State> below = round_along({0.0, on_the_way[0] * buckled, on_the_way[1] * buckled});
    const State begin = below ? on_ring(m_problem, *below) : state;
    if (below && (m_round.leaves() > 1 || m_round.shims_in(0) > 1)) // else nothing else touches
        m_growth = find_growth(m_round, m_waves->count, *below, buckled).value_or(m_growth);
    m_may_snap = false; // what snaps on its way to waves may come to any
    const bool found = search_branch(begin, state);
    m_may_snap = true;
    return found || search_branch(begin, state);
}

bool RingPath::search_branch(const State& begin, State& state) {
    const double buckled = m_growth.pressure;
    for (const Search& search : searches) {
        m_base = search.rung;
        state = begin;
        const double end = pressure_of(m_base);
        m_problem.press_unevenly(search.unevenness);
        bool found = true;
        for (const double share : on_the_way) {
            const double pressure = share * buckled;
            if (pressure >= begin.pressure && pressure < end) found = found && step_to(pressure, state);
        }
        found = found && step_to(end, state);
        m_problem.press_unevenly(0.0);
        state.solved = false; // under another load
        if (found && step_to(end, state) && is_wavy(m_problem, state)) return true;
        if (found) m_refusal = fmt::format("at {:.4g} bar no waves stay round the ring", 1e-5 * end);
    }
    return false;
}

double RingPath::pressure_of(int rung) const {
    if (from_rest()) return rung == 0 ? 0.0 : m_first_pressure * std::pow(ratio_of_windows, rung - 1);
    const double grown = m_growth.pressure;
    return rung >= 0 ? of_rung_0 * grown * std::pow(ratio_of_waves, rung)
                     : grown * (1.0 + (of_rung_0 - 1.0) * std::pow(0.5, -rung));
}

/// The rung from which a pressure is reached: the nearest towards where the branch was found. Just above rest
/// it is the first above: there shapes go with the pressure and contacts stay, of which rest tells nothing.
int RingPath::rung_for(double pressure) const {
    int rung = m_base;
    if (from_rest() && pressure > 0.0 && pressure < m_first_pressure) return 1;
    if (pressure >= pressure_of(rung)) {
        while (pressure_of(rung + 1) <= pressure)
            ++rung;
        return rung;
    }
    while (rung > lowest_rung && pressure_of(rung - 1) >= pressure)
        --rung;
    return rung;
}

const State* RingPath::rung(int number) {
    if (m_rungs.empty()) {
        m_refusal = m_no_start;
        return nullptr;
    }
    const int way = number < m_base ? -1 : 1;
    int reached = m_base;
    while (reached != number && m_rungs.find(reached + way) != m_rungs.end())
        reached += way;
    while (reached != number) {
        if (reached + way == m_top) {
            m_refusal = m_beyond;
            return nullptr;
        }
        State state = reached == 0 && m_left_rest ? *m_left_rest : m_rungs.at(reached);
        if (!step_to(pressure_of(reached + way), state)) return nullptr;
        if (reached + way > 0 && !within_theory(state, m_problem.peak_stresses(state.x, state.pressure))) {
            m_top = reached + way;
            m_beyond = m_refusal;
            return nullptr;
        }
        reached += way;
        if (reached >= first_rung()) m_minimiser.refine_rates(state);
        m_rungs.emplace(reached, std::move(state));
    }
    return &m_rungs.at(number);
}

bool RingPath::step_to(double pressure, State& state, int depth) {
    constexpr int most_halvings = 8;
    constexpr int steps_of_a_snap = 400; // a hundred are usual: no model is good on the way
    const bool last = depth == most_halvings || pressure == state.pressure;
    const Outcome outcome =
        m_minimiser.solve(pressure, state, last && m_may_snap ? steps_of_a_snap : Minimiser::usual_steps);
    if (outcome.converged) {
        // A branch is followed as it is; what snaps goes on to where it is stable.
        const bool stays = outcome.newton_steps <= Minimiser::usual_steps || outcome.is_minimum;
        if (stays || bend(State(state), m_problem.force_scale(pressure), steps_of_a_snap, state)) return true;
        m_refusal = fmt::format("at {:.4g} bar the stack snaps, uneven round the ring, to no minimum",
                                1e-5 * pressure);
        return false;
    }
    if (last) {
        m_refusal = fmt::format("no equilibrium found at {:.4g} bar, uneven round the ring: {}",
                                1e-5 * pressure, outcome.reason);
        return false;
    }
    return step_to(0.5 * (state.pressure + pressure), state, depth + 1) &&
           step_to(pressure, state, depth + 1);
}

std::optional<State> RingPath::state_at(double pressure) {
    const int near = rung_for(pressure);
    const State* from = rung(near);
    if (from == nullptr && pressure < pressure_of(near)) from = rung(0);
    if (from == nullptr) return std::nullopt;
    State state = *from;
    if (pressure != state.pressure && !step_to(pressure, state)) return std::nullopt;
    return state;
}

/// The state at `pressure` with rates of its own, as those of the rungs that the flow law stands on are.
std::optional<State> RingPath::moving_at(double pressure) {
    if (m_moving && m_moving->pressure == pressure) return m_moving;
    std::optional<State> state = state_at(pressure);
    if (!state) return std::nullopt;
    const int below = rung_for(pressure);
    if (pressure != pressure_of(below))
        m_minimiser.refine_rates(*state);
    else if (below < first_rung())
        m_minimiser.find_rates(*state);
    m_moving = state;
    return state;
}

bool RingPath::within_theory(const State& state, const std::vector<StressPeak>& peaks) {
    if (m_problem.steepest(state.x) > steepest_slope) {
        m_refusal = fmt::format("at {:.4g} bar a shim slopes by more than {} rad, beyond the theory",
                                1e-5 * state.pressure, steepest_slope);
        return false;
    }
    const std::optional<StressShare> of_yield = nearest_limit(m_round, peaks, yield_share);
    if (!of_yield || of_yield->share <= most_yield) return true;
    m_refusal = fmt::format("at {:.4g} bar the stress in shim {} is more than {} times its yield",
                            1e-5 * state.pressure, of_yield->peak.shim, most_yield);
    return false;
}

std::optional<UnevenLift> RingPath::at(double pressure) {
    m_refusal.clear();
    if (!is_uneven(pressure)) return std::nullopt;
    const std::optional<State> state = state_at(pressure);
    if (!state) return std::nullopt;
    const std::vector<StressPeak> peaks = m_problem.peak_stresses(state->x, pressure);
    if (!within_theory(*state, peaks)) return std::nullopt;
    return sum_up(*state, peaks);
}

std::optional<RingMeans> RingPath::means_at(double pressure) {
    m_refusal.clear();
    const std::optional<State> state = moving_at(pressure);
    if (!state) return std::nullopt;
    return means_of(*state);
}

/// Of a state that has its rates.
RingMeans RingPath::means_of(const State& state) const {
    const int station = m_round.seat_station();
    Eigen::VectorXd lift = m_problem.face_lift(state.x, station);
    lift.array() -= m_round.stack().seat.height;
    const Eigen::VectorXd rate = m_problem.face_rate(state.x, state.rate, station);
    const auto of = [&](const Eigen::VectorXd& shares) {
        return LiftLaw::Value{shares.dot(lift), shares.dot(rate)};
    };
    return {of(means(false)), of(means(true))};
}

std::optional<RingRates> RingPath::rates_at(double pressure) {
    m_refusal.clear();
    const std::optional<State> state = moving_at(pressure);
    if (!state) return std::nullopt;
    const plate::RingBasis& basis = m_problem.basis();
    if (!m_inertia) m_inertia.emplace(m_round, basis.waves(), basis.intervals());
    RingRates rates;
    rates.means = means_of(*state);
    rates.swept = m_problem.load(state->x).dot(state->rate);
    std::vector<Problem::Shapes> harmonics(static_cast<std::size_t>(basis.nodes()));
    for (int leaf = 0; leaf < m_round.leaves(); ++leaf) {
        for (Problem::Shapes& harmonic : harmonics) {
            harmonic.w.emplace_back();
            harmonic.slope.emplace_back();
        }
        for (int station = 0; station <= m_round.last_station(leaf); ++station) {
            const RingProblem::LeafAt at = m_problem.leaf_rate(state->x, state->rate, leaf, station);
            const Eigen::VectorXd w = basis.coefficients() * at.w;
            const Eigen::VectorXd slope = basis.coefficients() * at.slope;
            for (Eigen::Index k = 0; k < w.size(); ++k) {
                Problem::Shapes& harmonic = harmonics[static_cast<std::size_t>(k)];
                harmonic.w.back().push_back(w[k]);
                harmonic.slope.back().push_back(slope[k]);
            }
        }
    }
    for (int k = 0; k < basis.nodes(); ++k) {
        const Inertia::Sums sums = m_inertia->of(harmonics[static_cast<std::size_t>(k)], k);
        Inertia::Sums& to = k == 0 ? rates.even : rates.uneven;
        to.metal += sums.metal;
        to.oil += sums.oil;
    }
    return rates;
}

/// What each node of the basis has in the mean round the ring, or over the arcs of the ports.
Eigen::VectorXd RingPath::means(bool over_arcs) const {
    const Stack& stack = m_round.stack();
    if (!over_arcs || stack.windows < 1) return m_problem.basis().shares(1.0);
    return m_problem.basis().shares(stack.coverage) / stack.coverage;
}

bool RingPath::holds_at(double pressure) {
    const std::optional<State> state = moving_at(pressure); // a flow law asks for its means next
    return state && within_theory(*state, m_problem.peak_stresses(state->x, pressure));
}

double RingPath::end_between(double low, double high) {
    return bisect(low, high, 1e-3, [this](double pressure) { return std::optional(holds_at(pressure)); }).low;
}

std::optional<StressLimit> RingPath::passes(Passing& known, double high,
                                            std::optional<double> (*share)(double, const plate::Material&)) {
    StressPeak peak;
    const auto excess = [&](double pressure) -> std::optional<double> {
        const std::optional<State> state = state_at(pressure);
        if (!state) return std::nullopt;
        const std::optional<StressShare> nearest =
            nearest_limit(m_round, m_problem.peak_stresses(state->x, pressure), share);
        if (!nearest) return std::nullopt;
        if (nearest->share > 1.0) peak = nearest->peak;
        return nearest->share - 1.0;
    };
    const auto between = [&](double pressure, double here) {
        const double passed = close_in(known.low, {pressure, here}, 1e-3, excess).high;
        return StressLimit{passed, peak};
    };
    for (int number = first_rung(); !known.found && known.low.x < high; ++number) {
        const double pressure = pressure_of(number);
        if (pressure <= known.low.x) continue;
        const std::optional<double> here = excess(pressure);
        if (!here) { // the rung is beyond what can be followed
            const std::optional<double> at_high = pressure > high ? excess(high) : std::nullopt;
            if (!at_high || *at_high <= 0.0) return std::nullopt;
            return between(high, *at_high);
        }
        if (*here > 0.0)
            known.found = between(pressure, *here);
        else
            known.low = {pressure, *here};
    }
    return known.found && known.found->pressure <= high ? known.found : std::nullopt;
}

UnevenLift RingPath::sum_up(const State& state, const std::vector<StressPeak>& peaks) const {
    const plate::RingBasis& basis = m_problem.basis();
    const Eigen::VectorXd mean = means(false);
    const Stack& stack = m_round.stack();
    const int ring = m_round.ring_station();
    const int stop = m_round.stop_station();
    Eigen::VectorXd lift = m_problem.face_lift(state.x, m_round.seat_station());
    lift.array() -= stack.seat.height;

    UnevenLift result;
    result.waves = basis.waves();
    result.crest = lift.maxCoeff();
    result.trough = lift.minCoeff();
    result.mid_port = lift[0];
    result.mid_land = lift[lift.size() - 1];
    result.open_arcs = means(true).dot(lift);
    LiftPoint& point = result.state;
    point.pressure = state.pressure;
    point.seat_lift = mean.dot(lift);
    point.edge_lift = mean.dot(m_problem.face_lift(state.x, m_round.last_station(0)) - m_edge_at_rest);
    point.float_lift = mean.dot(m_problem.face_lift(state.x, ring));
    for (int j = 0; j < basis.nodes(); ++j) {
        for (int k = 0; k < m_round.stations(); ++k)
            if (m_round.on_land(k)) point.seat_force += state.gradient[m_problem.opening(k, 0, j)];
        const int at_ring = m_problem.opening(ring, 0, j);
        const bool stopped = stop == ring && state.hold[static_cast<std::size_t>(at_ring)] == Hold::upper;
        (stopped ? point.stop_force : point.hub_force) += (stopped ? -1.0 : 1.0) * state.gradient[at_ring];
        if (stop >= 0 && stop != ring) point.stop_force -= state.gradient[m_problem.opening(stop, 0, j)];
    }
    for (const StressPeak& peak : peaks)
        if (peak.stress > point.peak.stress) point.peak = peak;
    point.of_yield = nearest_limit(m_round, peaks, yield_share);
    point.of_fatigue = nearest_limit(m_round, peaks, fatigue_share);
    return result;
}

/// Whether the land bears on the face shim at a node of the basis.
bool RingPath::is_pressed(const State& state, int node) const {
    double force = 0.0;
    for (int k = 0; k < m_round.stations(); ++k)
        if (m_round.on_land(k)) force += state.gradient[m_problem.opening(k, 0, node)];
    return force > 1e-9 * m_problem.force_scale(first_pressure);
}

std::optional<bool> RingPath::is_pressed(double pressure, int node) {
    const std::optional<State> state = state_at(pressure);
    if (!state) return std::nullopt;
    return is_pressed(*state, node);
}

std::optional<double> RingPath::opens(double end) {
    double before = 0.0;
    for (int number = 0;; ++number) {
        const double pressure = std::min(pressure_of(number), end);
        const std::optional<bool> pressed = is_pressed(pressure, 0);
        if (!pressed || (*pressed && pressure == end)) return std::nullopt;
        if (!*pressed && number == 0) return 0.0;
        if (!*pressed)
            return bisect(before, pressure, 1e-3, [this](double p) { return is_pressed(p, 0); }).high;
        before = pressure;
    }
}

/// From where on the land does not bear at a node; searched rung by rung, located to 1e-3.
std::optional<double> RingPath::lets_go(int node, double end) {
    const auto pressed_at = [&](double pressure) { return is_pressed(pressure, node); };
    double last_pressed = -1.0;
    double next = 0.0;
    for (int number = 0;; ++number) {
        const double pressure = std::min(pressure_of(number), end);
        const std::optional<bool> pressed = pressed_at(pressure);
        if (!pressed) break;
        if (*pressed)
            last_pressed = pressure;
        else if (next <= last_pressed || number == 0)
            next = pressure;
        if (pressure == end) break;
    }
    if (last_pressed < 0.0) return 0.0;
    if (next <= last_pressed) return std::nullopt;
    return bisect(last_pressed, next, 1e-3, pressed_at).high;
}

UnevenCrack RingPath::cracks(double end) {
    return {lets_go(0, end), lets_go(m_problem.basis().nodes() - 1, end)};
}

} // namespace valve::stack
