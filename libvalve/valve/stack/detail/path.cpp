#include <valve/core/detail/index.hpp>
#include <valve/stack/detail/path.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace valve::stack {

namespace {

std::string where(double pressure) {
    return pressure > 0.0 ? fmt::format("at {:.4g} bar", 1e-5 * pressure) : "at rest";
}

} // namespace

std::optional<StressShare> nearest_limit(const Problem& problem, const std::vector<StressPeak>& peaks,
                                         std::optional<double> (*share_of)(double, const plate::Material&)) {
    std::optional<StressShare> nearest;
    for (const StressPeak& peak : peaks) {
        const Shim& shim = problem.stack().shims[static_cast<std::size_t>(peak.shim - 1)];
        const std::optional<double> share = share_of(peak.stress, shim.material);
        if (share && (!nearest || *share > nearest->share)) nearest = StressShare{*share, peak};
    }
    return nearest;
}

Path::Path(const Stack& stack, Theory theory, const plate::Grading& grading)
    : m_problem(stack, theory, grading), m_minimiser(m_problem) {
    State rest = m_minimiser.start();
    if (!step_to(0.0, rest, 0)) return;
    const Problem::Shapes shapes = m_problem.shapes(rest.x);
    m_edge_at_rest = shapes.w.front().back();
    Known known{std::move(rest), {}};
    if (within_theory(known)) m_known.emplace(0.0, std::move(known));
}

bool Path::step_to(double pressure, State& state, int depth) {
    const Outcome outcome = m_minimiser.solve(pressure, state);
    m_factorisations += outcome.factorisations;
    if (outcome.converged) return true;
    constexpr int most_halvings = 12;
    if (depth == most_halvings) {
        m_refusal = fmt::format("no equilibrium found {}: {}", where(pressure), outcome.reason);
        return false;
    }
    return step_to(0.5 * (state.pressure + pressure), state, depth + 1) &&
           step_to(pressure, state, depth + 1);
}

bool Path::within_theory(Known& known) {
    if (m_problem.theory() == Theory::linear) return true;
    const State& state = known.state;
    const Problem::Shapes shapes = m_problem.shapes(state.x);
    for (std::size_t i = 0; i < shapes.slope.size(); ++i)
        for (const double slope : shapes.slope[i])
            if (std::abs(slope) > steepest_slope) {
                m_refusal = fmt::format("{} shim {} slopes by more than {} rad, beyond the theory",
                                        where(state.pressure), m_problem.first_shim(static_cast<int>(i)),
                                        steepest_slope);
                return false;
            }
    known.peaks = m_problem.peak_stresses(state.x, state.pressure);
    const std::optional<StressShare> of_yield = nearest_limit(m_problem, known.peaks, yield_share);
    if (!of_yield || of_yield->share <= most_yield) return true;
    m_refusal = fmt::format("{} the stress in shim {} is more than {} times its yield", where(state.pressure),
                            of_yield->peak.shim, most_yield);
    return false;
}

Path::Known* Path::known_at(double pressure) {
    for (std::map<double, Known>* states : {&m_known, &m_asked})
        if (const auto found = states->find(pressure); found != states->end()) return &found->second;
    const auto above = m_known.upper_bound(pressure);
    if (above == m_known.begin()) return nullptr;
    Known known{std::prev(above)->second.state, {}};
    m_beyond_theory = false;
    if (!step_to(pressure, known.state, 0)) return nullptr;
    if (!within_theory(known)) {
        m_beyond_theory = true;
        return nullptr;
    }
    return &(m_settled ? m_asked : m_known).emplace(pressure, std::move(known)).first->second;
}

void Path::settle(const std::vector<double>& pressures) {
    std::erase_if(m_known, [&](const auto& entry) {
        return entry.first != 0.0 && !std::binary_search(pressures.begin(), pressures.end(), entry.first);
    });
    m_settled = true;
}

void Path::forget_asked() {
    constexpr std::size_t many = 100;
    if (m_asked.size() > many) m_asked.clear();
}

const State* Path::at(double pressure) {
    const Known* known = known_at(pressure);
    return known == nullptr ? nullptr : &known->state;
}

std::optional<LiftPoint> Path::point(double pressure) {
    Known* known = known_at(pressure);
    if (known == nullptr) return std::nullopt;
    if (known->peaks.empty()) known->peaks = m_problem.peak_stresses(known->state.x, pressure);
    return sum_up(*known);
}

LiftPoint Path::sum_up(const Known& known) const {
    const State& state = known.state;
    LiftPoint point;
    point.pressure = state.pressure;
    const Problem::Shapes shapes = m_problem.shapes(state.x);
    const int ring = m_problem.ring_station();
    point.seat_lift = seat_lift(state);
    point.rate_before = point.rate_after = lift_rate(state);
    point.edge_lift = shapes.w.front().back() - m_edge_at_rest;
    point.float_lift = shapes.w.front()[static_cast<std::size_t>(ring)];
    for (int k = 0; k < m_problem.stations(); ++k)
        if (m_problem.on_land(k)) point.seat_force += state.gradient[m_problem.opening(k, 0)];

    const int ring_gap = m_problem.opening(ring, 0);
    const int stop = m_problem.stop_station();
    const double at_ring = state.gradient[ring_gap];
    const bool stopped_at_ring = stop == ring && state.hold[valve::at(ring_gap)] == Hold::upper;
    if (stopped_at_ring)
        point.stop_force = -at_ring;
    else
        point.hub_force = at_ring;
    if (stop >= 0 && stop != ring) point.stop_force = -state.gradient[m_problem.opening(stop, 0)];
    for (const StressPeak& peak : known.peaks)
        if (peak.stress > point.peak.stress) point.peak = peak;
    point.of_yield = nearest_limit(m_problem, known.peaks, yield_share);
    point.of_fatigue = nearest_limit(m_problem, known.peaks, fatigue_share);
    return point;
}

Contacts contacts(const Problem& problem, const State& state) {
    Contacts found;
    auto held = [&](int index) { return state.hold[valve::at(index)] == Hold::lower; };
    for (int k = 0; k < problem.stations(); ++k) {
        if (k == problem.ring_station()) continue;
        const std::vector<int>& here = problem.present(k);
        if (problem.on_land(k) && held(problem.opening(k, 0)))
            found.pairs[{0, problem.first_shim(here.front())}] = problem.radius(k);
        for (std::size_t p = 1; p < here.size(); ++p)
            if (held(problem.opening(k, static_cast<int>(p))))
                found.pairs[{problem.last_shim(here[p - 1]), problem.first_shim(here[p])}] =
                    problem.radius(k);
    }
    const int ring_gap = problem.opening(problem.ring_station(), 0);
    const int stop = problem.stop_station();
    if (problem.stack().floating) {
        found.hub = problem.stack().floating->rests_on == RestsOn::hub && held(ring_gap);
        found.stop = state.hold[valve::at(problem.opening(stop, 0))] == Hold::upper;
    }
    return found;
}

} // namespace valve::stack
