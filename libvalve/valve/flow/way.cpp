#include <valve/core/detail/infinity.hpp>
#include <valve/core/error.hpp>
#include <valve/flow/way.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace valve::flow {

namespace {

/// Flow through the bleeds alone, the leak left out.
ValueSlope bleeds_alone(const std::vector<Restriction>& bleeds, double dp) {
    ValueSlope sum;
    for (const Restriction& bleed : bleeds) {
        const ValueSlope flow = bleed.flow(dp);
        sum.value += flow.value;
        sum.slope += flow.slope;
    }
    return sum;
}

} // namespace

Way::Way(std::optional<ValveLaw> valve, std::vector<Restriction> bleeds, double leak)
    : m_valve(std::move(valve)), m_bleeds(std::move(bleeds)), m_leak(leak) {
    if (!(leak >= 0.0)) throw std::invalid_argument("Link: leak must not be negative");
    m_end = end_of_curve();
}

LinkState Way::end_of_curve() const {
    if (m_valve) return open(m_valve->round_at(m_valve->max_pressure()));
    LinkState end;
    end.dp = infinity;
    end.flow = is_shut() ? 0.0 : infinity;
    end.is_closed = is_shut();
    return end;
}

LinkState Way::at_flow(double flow) const {
    if (flow == 0.0) return at_drop(0.0);
    const double without_stack = bleed_pressure(flow);
    if (!opens() || without_stack <= m_valve->opening_pressure()) {
        if (std::isfinite(without_stack)) return shut(without_stack);
        LinkState closed;
        closed.dp = closed.p_eff = closed.drop_slope = infinity;
        closed.is_closed = true;
        return closed;
    }
    const auto excess = [&](const ValveLaw::State& valve) {
        const ValueSlope bleeds = bleed_flow(valve.dp);
        return ValueSlope{valve.flow + bleeds.value - flow, valve.flow_slope + bleeds.slope * valve.dp_slope};
    };
    const auto solve = [](const auto& function, double low, double high, double start) {
        const Root p_eff = find_root(function, low, high, start);
        if (!p_eff.converged)
            throw SolveError(fmt::format("no state found near {:.4g} bar on the face shim", p_eff.x / 1e5));
        return p_eff.x;
    };
    // Beyond where the stack bends round the ring the round state lies there too, only higher.
    double round = m_valve->max_pressure();
    if (!m_valve->is_bent_from_opening()) {
        const bool beyond = flow > m_end.flow;
        const double low = beyond ? m_valve->max_pressure() : m_valve->opening_pressure();
        const double high = beyond ? m_valve->pressure_beyond(flow) : m_valve->max_pressure();
        round =
            solve([&](double p_eff) { return excess(m_valve->round_at(p_eff)); }, low, high, without_stack);
    }
    const auto is_short = [&](const ValveLaw::State& valve) { return excess(valve).value < 0.0; };
    const auto bent = m_valve->bent_interval(round, flow, is_short);
    if (!bent) return open(m_valve->round_at(round));
    const auto [low, high] = *bent;
    return open(m_valve->at(
        solve([&](double p_eff) { return excess(m_valve->at(p_eff)); }, low, high, 0.5 * (low + high))));
}

LinkState Way::end() const {
    return opens() ? open(m_valve->end()) : m_end;
}

LinkState Way::at_drop(double dp) const {
    if (!opens() || dp < m_valve->opening_pressure()) return shut(dp);
    return open(m_valve->at_drop(dp));
}

/// Flow past the valve: through its bleeds and the leak.
ValueSlope Way::bleed_flow(double dp) const {
    const ValueSlope bleeds = bleeds_alone(m_bleeds, dp);
    return {m_leak * dp + bleeds.value, m_leak + bleeds.slope};
}

/// Pressure drop at which bleeds and leak alone pass `flow`; infinite when there are none.
double Way::bleed_pressure(double flow) const {
    // Of n ways none takes more than the whole flow, and one at least takes the nth part of it.
    const auto ways = static_cast<double>(m_bleeds.size() + (m_leak > 0.0 ? 1U : 0U));
    double low = m_leak > 0.0 ? flow / ways / m_leak : infinity;
    double high = m_leak > 0.0 ? flow / m_leak : infinity;
    for (const Restriction& bleed : m_bleeds) {
        low = std::min(low, bleed.pressure(flow / ways).value);
        high = std::min(high, bleed.pressure(flow).value);
    }
    if (ways <= 1.0) return high;
    const Root root = find_root(
        [&](double dp) {
            const ValueSlope bleeds = bleed_flow(dp);
            return ValueSlope{bleeds.value - flow, bleeds.slope};
        },
        low, high, low);
    if (!root.converged)
        throw SolveError(
            fmt::format("no pressure drop found at which bleeds and leak pass {:.4g} ml/s", flow * 1e6));
    return root.x;
}

LinkState Way::shut(double dp) const {
    const ValueSlope bleeds = bleeds_alone(m_bleeds, dp);
    LinkState state;
    state.dp = dp;
    state.p_eff = dp;
    state.bleed_flow = bleeds.value;
    state.leak_flow = m_leak * dp;
    state.flow = state.leak_flow + state.bleed_flow;
    state.flow_slope = m_leak + bleeds.slope;
    state.drop_slope = 1.0 / state.flow_slope;
    state.is_closed = state.flow_slope == 0.0;
    state.beyond_curve = m_valve && dp > m_valve->max_pressure();
    return state;
}

LinkState Way::open(const ValveLaw::State& valve) const {
    const ValueSlope bleeds = bleeds_alone(m_bleeds, valve.dp);
    const double beside = m_leak + bleeds.slope; // dQ/dΔp of what is not the stack
    LinkState state;
    state.dp = valve.dp;
    state.p_eff = valve.p_eff;
    state.lift = valve.lift;
    state.stack_flow = valve.flow;
    state.bleed_flow = bleeds.value;
    state.leak_flow = m_leak * valve.dp;
    state.flow = valve.flow + (state.leak_flow + state.bleed_flow);
    state.flow_slope = valve.flow_slope / valve.dp_slope + beside;
    state.drop_slope = valve.dp_slope / (valve.flow_slope + beside * valve.dp_slope);
    state.port_loss = valve.port_loss;
    state.curtain_loss = valve.flow > 0.0 ? valve.curtain_loss : 0.0;
    state.is_closed = state.flow == 0.0 && state.flow_slope == 0.0;
    state.beyond_curve = valve.beyond_end;
    return state;
}

} // namespace valve::flow
