#include <valve/flow/passage.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>
#include <utility>

namespace valve::flow {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();

std::string litres_per_minute(double flow) {
    return fmt::format("{:.4g} l/min", flow * 60e3);
}
std::string bar(double pressure) {
    return fmt::format("{:.4g} bar", pressure / 1e5);
}

} // namespace

Passage::Passage(std::string name, std::optional<ValveLaw> valve, std::vector<Restriction> bleeds,
                 double leak)
    : m_name(std::move(name)), m_valve(std::move(valve)), m_bleeds(std::move(bleeds)), m_leak(leak) {
    if (!(leak >= 0.0)) throw std::invalid_argument("Passage: leak must not be negative");
    if (m_valve) {
        m_end = open(m_valve->max_pressure());
    } else {
        m_end.dp = infinity;
        m_end.flow = m_bleeds.empty() && m_leak == 0.0 ? 0.0 : infinity;
    }
}

PassageState Passage::at_flow(double flow) const {
    if (!(flow >= 0.0)) throw std::invalid_argument("Passage: flow must not be negative");
    if (flow == 0.0) return at_pressure(0.0);
    const double without_stack = bleed_pressure(flow);
    if (m_valve ? without_stack <= m_valve->opening_pressure() : std::isfinite(without_stack))
        return closed(without_stack);
    if (m_end.flow == 0.0)
        throw SolveError(fmt::format("{}: nothing lets {} through: a stack, a bleed or a ring leak is needed",
                                     m_name, litres_per_minute(flow)));
    if (flow > m_end.flow)
        throw SolveError(
            fmt::format("{}: {} lie beyond the end of its lift curve, which passes {} at a "
                        "pressure drop of {}: ask for less flow or give it larger ports, a softer "
                        "stack or a larger bleed",
                        m_name, litres_per_minute(flow), litres_per_minute(m_end.flow), bar(m_end.dp)));
    return solve(
        [&](double p_eff) {
            const ValveLaw::State valve = m_valve->at(p_eff);
            const ValueSlope bleeds = bleed_flow(valve.dp);
            return ValueSlope{valve.flow + bleeds.value - flow,
                              valve.flow_slope + bleeds.slope * valve.dp_slope};
        },
        without_stack);
}

PassageState Passage::at_pressure(double dp) const {
    if (!(dp >= 0.0)) throw std::invalid_argument("Passage: pressure drop must not be negative");
    if (!m_valve || dp < m_valve->opening_pressure()) return closed(dp);
    if (dp > m_end.dp)
        throw SolveError(
            fmt::format("{}: a pressure drop of {} lies beyond the end of its lift curve, which is {} "
                        "at {}: ask for less speed or give it larger ports, a softer stack or a "
                        "larger bleed",
                        m_name, bar(dp), bar(m_end.dp), litres_per_minute(m_end.flow)));
    return solve(
        [&](double p_eff) {
            const ValveLaw::State valve = m_valve->at(p_eff);
            return ValueSlope{valve.dp - dp, valve.dp_slope};
        },
        dp);
}

/// State with the stack open, where `excess` of p_eff vanishes.
template <class Excess>
PassageState Passage::solve(const Excess& excess, double start) const {
    const Root p_eff = find_root(excess, m_valve->opening_pressure(), m_valve->max_pressure(), start);
    if (!p_eff.converged)
        throw SolveError(fmt::format("{}: no state found near {} on the face shim", m_name, bar(p_eff.x)));
    return open(p_eff.x);
}

/// Through bleeds and leak.
ValueSlope Passage::bleed_flow(double dp) const {
    ValueSlope sum{m_leak * dp, m_leak};
    for (const Restriction& bleed : m_bleeds) {
        const ValueSlope flow = bleed.flow(dp);
        sum.value += flow.value;
        sum.slope += flow.slope;
    }
    return sum;
}

/// Pressure drop at which bleeds and leak alone pass `flow`; infinite when there are none.
double Passage::bleed_pressure(double flow) const {
    // Of n ways none takes more than the whole flow, and one at least takes the nth part of it.
    const auto ways = static_cast<double>(m_bleeds.size() + (m_leak > 0.0 ? 1U : 0U));
    double low = m_leak > 0.0 ? flow / ways / m_leak : infinity;
    double high = m_leak > 0.0 ? flow / m_leak : infinity;
    for (const Restriction& bleed : m_bleeds) {
        low = std::min(low, bleed.pressure(flow / ways).value);
        high = std::min(high, bleed.pressure(flow).value);
    }
    if (ways <= 1.0) return high;
    return find_root(
               [&](double dp) {
                   const ValueSlope bleeds = bleed_flow(dp);
                   return ValueSlope{bleeds.value - flow, bleeds.slope};
               },
               low, high, low)
        .x;
}

PassageState Passage::closed(double dp) const {
    const ValueSlope bleeds = bleed_flow(dp);
    return {.dp = dp, .flow = bleeds.value, .flow_slope = bleeds.slope, .p_eff = dp};
}

PassageState Passage::open(double p_eff) const {
    const ValveLaw::State valve = m_valve->at(p_eff);
    const ValueSlope bleeds = bleed_flow(valve.dp);
    return {.dp = valve.dp,
            .flow = valve.flow + bleeds.value,
            .flow_slope = valve.flow_slope / valve.dp_slope + bleeds.slope,
            .p_eff = p_eff,
            .lift = valve.lift,
            .stack_flow = valve.flow};
}

} // namespace valve::flow
