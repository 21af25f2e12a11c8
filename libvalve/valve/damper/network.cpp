#include <valve/core/error.hpp>
#include <valve/core/root.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/damper/network.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <string>
#include <utility>

namespace valve::damper {

namespace {

/// The state at `flow`; throws SolveError where nothing lets it through.
flow::LinkState passing(const flow::Link& link, double flow) {
    const flow::LinkState state = link.at_flow(flow);
    if (std::isinf(state.dp))
        throw SolveError(
            fmt::format("{}: nothing lets {:.4g} l/min through: a stack, a bleed or a ring leak is needed",
                        link.name(flow::direction_of(flow)), std::abs(flow) * 60e3));
    return state;
}

} // namespace

Network::Network(const Cartridge& cartridge, flow::Link piston, std::optional<flow::Link> base)
    : m_piston(std::move(piston)), m_base(std::move(base)), m_piston_area(damper::piston_area(cartridge)),
      m_rod_area(damper::rod_area(cartridge)), m_travel(cartridge.travel), m_dead_C(cartridge.dead_length_C),
      m_dead_R(cartridge.dead_length_R) {}

double Network::growth_area(Chamber chamber) const {
    switch (chamber) {
    case Chamber::C:
        return -m_piston_area;
    case Chamber::R:
        return annulus_area();
    case Chamber::S:
        return 0.0;
    }
    return 0.0;
}

ByChamber Network::volumes(double travel) const {
    return {.C = m_piston_area * (m_travel - travel + m_dead_C),
            .R = annulus_area() * (travel + m_dead_R),
            .S = m_rod_area * travel};
}

NetworkState Network::at(double speed, const ByChamber& pressures) const {
    if (!m_base && pressures.C != pressures.S)
        throw std::invalid_argument("Network: without a base C and S have one pressure");
    NetworkState state;
    state.speed = speed;
    state.pressure = pressures;
    state.piston = m_piston.at_drop(pressures.C - pressures.R);
    if (m_base) state.base = m_base->at_drop(pressures.C - pressures.S);
    return state;
}

NetworkState Network::equilibrium(double speed, double p_S, double p_cav) const {
    if (speed == 0.0) return at(speed, {p_S, p_S, p_S});
    NetworkState state = speed > 0.0 ? compressed(speed, p_S, p_cav) : extended(-speed, p_S, p_cav);
    state.speed = speed;
    state.pressure.S = p_S;
    return state;
}

NetworkState Network::compressed(double speed, double p_S, double p_cav) const {
    const double piston_flow = annulus_area() * speed;
    NetworkState state;
    if (m_base) state.base = passing(*m_base, m_rod_area * speed);
    state.pressure.C = p_S + state.dp_base();
    state.piston = m_piston.at_flow(piston_flow);
    if (state.piston.dp < state.pressure.C - p_cav) {
        state.pressure.R = state.pressure.C - state.piston.dp;
        return state;
    }
    state.cavitated = Chamber::R;
    state.pressure.R = p_cav;
    if (m_base) state.base = m_base->at_drop(base_drop_with_void(speed, p_S - p_cav, state.base->dp));
    state.pressure.C = p_S + state.dp_base();
    state.piston = m_piston.at_drop(state.pressure.C - p_cav);
    state.void_growth.R = std::max(0.0, piston_flow - state.piston.flow);
    return state;
}

/// R held at p_cav in compression, `above_void` = p_S − p_cav: Δp_base at which piston and base together pass
/// A_p v; at least `least`, which the base needs for the rod's share alone.
double Network::base_drop_with_void(double speed, double above_void, double least) const {
    const double total = m_piston_area * speed;
    const auto excess = [&](double dp_base) {
        const flow::LinkState through_base = m_base->at_drop(dp_base);
        const flow::LinkState through_piston = m_piston.at_drop(above_void + dp_base);
        return ValueSlope{through_base.flow + through_piston.flow - total,
                          through_base.flow_slope + through_piston.flow_slope};
    };
    const double most =
        std::min(m_piston.at_flow(annulus_area() * speed).dp - above_void, m_base->at_flow(total).dp);
    if (excess(most).value <= 0.0) return most; // to rounding
    const Root root = find_root(excess, least, most, least);
    if (!root.converged) throw SolveError("no state with the rod side empty was found");
    return root.x;
}

NetworkState Network::extended(double speed, double p_S, double p_cav) const {
    const double refill_flow = m_rod_area * speed;
    NetworkState state;
    state.pressure.C = p_S;
    if (m_base) {
        state.base = m_base->at_flow(-refill_flow);
        state.pressure.C = p_S + state.base->dp;
        if (-state.base->dp >= p_S - p_cav) {
            state.cavitated = Chamber::C;
            state.pressure.C = p_cav;
            state.base = m_base->at_drop(p_cav - p_S);
            state.void_growth.C = std::max(0.0, refill_flow + state.base->flow);
        }
    }
    state.piston = passing(m_piston, -annulus_area() * speed);
    state.pressure.R = state.pressure.C - state.piston.dp;
    return state;
}

double Network::intake(const NetworkState& state) const {
    if (state.base) return state.base->flow;
    return m_piston_area * state.speed - state.piston.flow + state.void_growth.C;
}

double Network::excess(const NetworkState& state, Chamber chamber) const {
    switch (chamber) {
    case Chamber::C:
        return -state.piston.flow - intake(state) + state.void_growth.C -
               growth_area(Chamber::C) * state.speed;
    case Chamber::R:
        return state.piston.flow + state.void_growth.R - growth_area(Chamber::R) * state.speed;
    case Chamber::S:
        return 0.0;
    }
    return 0.0;
}

double Network::force(const ByChamber& pressures) const {
    return m_piston_area * pressures.C - annulus_area() * pressures.R;
}

NetworkPower Network::power(const NetworkState& state) const {
    NetworkPower power;
    power.in = force(state.pressure) * state.speed;
    power.links =
        state.piston.dp * state.piston.flow + (state.base ? state.base->dp * state.base->flow : 0.0);
    power.reservoir = state.pressure.S * intake(state);
    power.voids = state.pressure.C * state.void_growth.C + state.pressure.R * state.void_growth.R;
    return power;
}

} // namespace valve::damper
