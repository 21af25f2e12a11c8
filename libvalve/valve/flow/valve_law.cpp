#include <valve/core/error.hpp>
#include <valve/flow/valve_law.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <string>
#include <utility>

namespace valve::flow {

namespace {

constexpr double no_lift = 1e-30; // [m]; the area of less would vanish in rounding

std::string no_state(double dp) {
    return fmt::format("no state found at a pressure drop of {:.4g} bar", dp / 1e5);
}

} // namespace

ValveLaw::ValveLaw(const Valve& valve, stack::LiftLaw lift, const OilState& oil, Bent bent)
    : m_lift(std::move(lift)), m_bent(std::move(bent)),
      m_ports(opening(valve.ports), valve.discharge.port, valve.discharge.port_transition, oil),
      m_curtain_length(curtain_length(valve)), m_discharge(valve.discharge), m_oil(oil) {
    if (!(m_lift.load_area() > 0.0)) throw std::invalid_argument("ValveLaw: no lift law");
    if (!(m_curtain_length > 0.0)) throw std::invalid_argument("ValveLaw: no curtain");
    m_jet = valve.jet_force * oil.density / (opening(valve.ports).area * m_lift.load_area());
    m_jet_ratio = jet_ratio(valve, m_lift.load_area());
    m_end = m_lift.at(m_lift.max_pressure());
    m_opening_pressure = m_lift.opening_pressure();
    if (is_bent_from_opening()) m_opening_pressure = m_bent->from(max_pressure()).value_or(max_pressure());
}

stack::LiftLaw::Value ValveLaw::round_lift(double p_eff) const {
    const double beyond = p_eff - m_lift.max_pressure();
    if (beyond <= 0.0) return m_lift.at(p_eff);
    return {m_end.lift + m_end.slope * beyond, m_end.slope};
}

Restriction ValveLaw::curtain(double lift) const {
    return {curtain_gap(m_curtain_length, lift), m_discharge.curtain, m_discharge.curtain_transition, m_oil};
}

ValveLaw::State ValveLaw::at(double p_eff) const {
    if (m_bent && p_eff > 0.0 && m_bent->from(p_eff)) return bent_at(p_eff);
    if (is_bent_from_opening()) return with_lift(p_eff, {});
    return round_at(p_eff);
}

ValveLaw::State ValveLaw::bent_at(double p_eff) const {
    const stack::UnevenLaw::Value lift = m_bent->at(p_eff);
    State state = with_lift(p_eff, lift.lift);
    state.beyond_end = lift.beyond_end;
    return state;
}

ValveLaw::State ValveLaw::end() const {
    const bool bends = m_bent && m_bent->from(max_pressure());
    return bends ? bent_at(m_bent->end()) : round_at(max_pressure());
}

/// State at `p_eff` under the law's `lift` there.
ValveLaw::State ValveLaw::with_lift(double p_eff, const stack::LiftLaw::Value& lift) const {
    if (p_eff < 0.0 || lift.lift < no_lift)
        return {.dp = p_eff,
                .dp_slope = 1.0,
                .p_eff = p_eff,
                .curtain_loss = p_eff,
                .beyond_end = p_eff > max_pressure()};
    const Restriction curtain = this->curtain(lift.lift);

    // p_f + jet Q(p_f)² = p_eff. The curtain's flow is at most its turbulent limit, Q² ≤ 2 (C A)² p_f/ρ, so
    // that p_f is at least p_eff/(1 + most).
    const double capacity = m_discharge.curtain * m_curtain_length * lift.lift;
    const double most = 2.0 * m_jet * capacity * capacity / m_oil.density;
    const auto excess = [&](double p_f) {
        const ValueSlope flow = curtain.flow(p_f);
        return ValueSlope{p_f + m_jet * flow.value * flow.value - p_eff,
                          1.0 + 2.0 * m_jet * flow.value * flow.slope};
    };
    const double least = p_eff / (1.0 + most);
    double p_f = p_eff;
    if (most > 0.0) {
        const Root root = find_root(excess, least, p_eff, least);
        if (!root.converged)
            throw SolveError(fmt::format("no state found at {:.4g} bar on the face shim", p_eff / 1e5));
        p_f = root.x;
    }
    const ValueSlope flow = curtain.flow(p_f);
    return open(p_eff, p_f, lift, flow, m_ports.pressure(flow.value));
}

/// With the stack open; `curtain` is its flow and dQ/dp_f, `port` the loss of that flow and its slope.
ValveLaw::State ValveLaw::open(double p_eff, double p_f, const stack::LiftLaw::Value& lift,
                               const ValueSlope& curtain, const ValueSlope& port) const {
    // The curtain's flow depends on lift and √p_f only by their product: ∂Q/∂lift = (2 p_f/lift) ∂Q/∂p_f.
    const double stiffening = 1.0 + 2.0 * m_jet * curtain.value * curtain.slope;
    const double flow_slope = curtain.slope * (1.0 + 2.0 * p_f * lift.slope / lift.lift) / stiffening;
    return {.flow = curtain.value,
            .flow_slope = flow_slope,
            .dp = p_f + port.value,
            .dp_slope = 1.0 + (port.slope - 2.0 * m_jet * curtain.value) * flow_slope,
            .lift = lift.lift,
            .p_eff = p_eff,
            .port_loss = port.value,
            .curtain_loss = p_f,
            .beyond_end = p_eff > max_pressure()};
}

ValveLaw::State ValveLaw::at_drop(double dp) const {
    // Where the round state lies beyond where the stack bends, so does the true one.
    const bool always = is_bent_from_opening();
    const State round = always ? State{.p_eff = max_pressure()} : round_at_drop(dp);
    const auto bent = bent_interval(round.p_eff, 0.0, [dp](const State& state) { return state.dp < dp; });
    if (!bent) return always ? with_lift(dp, {}) : round;
    const auto excess = [&](double p_eff) {
        const State state = bent_at(p_eff);
        return ValueSlope{state.dp - dp, state.dp_slope};
    };
    const auto [low, known_high] = *bent;
    const double high = known_high > low ? known_high : std::max(1.0, m_jet_ratio) * dp;
    const Root root = find_root(excess, low, std::max(low, high), 0.5 * (low + high));
    if (!root.converged) throw SolveError(no_state(dp));
    State state = bent_at(root.x);
    state.dp = dp;
    return state;
}

ValveLaw::State ValveLaw::round_at_drop(double dp) const {
    return m_jet_ratio <= max_certain_jet_ratio ? at_drop_by_velocity(dp) : at_drop_by_pressure(dp);
}

/// The unknown is the ideal velocity x = √(2 Δp_port/ρ) of the ports' loss: both losses and p_eff follow from
/// it without another solution, and what the ports pass less what the curtain passes rises with it, because
/// p_eff falls.
ValveLaw::State ValveLaw::at_drop_by_velocity(double dp) const {
    const double rho = m_oil.density;
    struct Trial {
        double p_f = 0.0;
        double p_eff = 0.0;
        stack::LiftLaw::Value lift;
        ValueSlope ports;   // flow over Δp_port
        ValueSlope curtain; // flow over p_f
    };
    const auto at_velocity = [&](double x) {
        Trial trial;
        const double port_loss = 0.5 * rho * x * x;
        trial.ports = m_ports.flow(port_loss);
        trial.p_f = std::max(0.0, dp - port_loss);
        trial.p_eff = trial.p_f + m_jet * trial.ports.value * trial.ports.value;
        trial.lift = round_lift(trial.p_eff);
        if (trial.lift.lift >= no_lift) trial.curtain = curtain(trial.lift.lift).flow(trial.p_f);
        return trial;
    };
    const auto excess = [&](double x) {
        const Trial trial = at_velocity(x);
        const double loss_slope = rho * x;
        const double port_slope = trial.ports.slope * loss_slope;
        const double load_slope = 2.0 * m_jet * trial.ports.value * port_slope - loss_slope; // dp_eff/dx
        double curtain_slope = 0.0;
        if (trial.lift.lift >= no_lift)
            curtain_slope = trial.curtain.slope *
                            (2.0 * trial.p_f * trial.lift.slope / trial.lift.lift * load_slope - loss_slope);
        return ValueSlope{trial.ports.value - trial.curtain.value, port_slope - curtain_slope};
    };
    const double fastest = std::sqrt(2.0 * dp / rho); // all of Δp lost in the ports
    const Root root = find_root(excess, 0.0, fastest, 0.5 * fastest);
    if (!root.converged) throw SolveError(no_state(dp));
    const Trial found = at_velocity(root.x);
    if (found.lift.lift < no_lift) return {.dp = dp, .dp_slope = 1.0, .p_eff = dp, .curtain_loss = dp};
    State state = open(found.p_eff, found.p_f, found.lift, {found.ports.value, found.curtain.slope},
                       {0.5 * rho * root.x * root.x, 1.0 / found.ports.slope});
    state.dp = dp;
    return state;
}

/// The unknown is p_eff. Δp_port is at least that of turbulent flow, of which jet_ratio() is the jet's share
/// at most, so that p_eff is at most max(1, jet_ratio) Δp.
ValveLaw::State ValveLaw::at_drop_by_pressure(double dp) const {
    const auto excess = [&](double p_eff) {
        const State state = round_at(p_eff);
        return ValueSlope{state.dp - dp, state.dp_slope};
    };
    const bool beyond = dp > round_at(max_pressure()).dp;
    const double low = beyond ? max_pressure() : m_lift.opening_pressure();
    const double high = beyond ? std::max(1.0, m_jet_ratio) * dp : max_pressure();
    const Root root = find_root(excess, low, high, dp);
    if (!root.converged) throw SolveError(no_state(dp));
    State state = round_at(root.x);
    state.dp = dp;
    return state;
}

double ValveLaw::pressure_beyond(double flow, double lift) const {
    return curtain(lift).pressure(flow).value + m_jet * flow * flow;
}

double jet_ratio(const Valve& valve, double load_area) {
    const double discharge = valve.discharge.port;
    return 2.0 * valve.jet_force * discharge * discharge * opening(valve.ports).area / load_area;
}

} // namespace valve::flow
