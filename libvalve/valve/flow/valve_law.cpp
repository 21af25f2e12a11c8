#include <valve/flow/valve_law.hpp>

#include <stdexcept>
#include <utility>

namespace valve::flow {

ValveLaw::ValveLaw(const Valve& valve, stack::LiftLaw lift, const OilState& oil)
    : m_lift(std::move(lift)),
      m_ports(opening(valve.ports), valve.discharge.port, valve.discharge.port_transition, oil),
      m_curtain_length(curtain_length(valve)), m_discharge(valve.discharge), m_oil(oil) {
    if (!(m_lift.load_area() > 0.0)) throw std::invalid_argument("ValveLaw: no lift law");
    if (!(m_curtain_length > 0.0)) throw std::invalid_argument("ValveLaw: no curtain");
    m_jet = valve.jet_force * oil.density / (opening(valve.ports).area * m_lift.load_area());
}

ValveLaw::State ValveLaw::at(double p_eff) const {
    constexpr double no_lift = 1e-30; // [m]; the area of less would vanish in rounding
    const stack::LiftLaw::Value lift = m_lift.at(p_eff);
    if (p_eff < 0.0 || lift.lift < no_lift) return {.dp = p_eff, .dp_slope = 1.0};

    const Opening gap = curtain_gap(m_curtain_length, lift.lift);
    const Restriction curtain(gap, m_discharge.curtain, m_discharge.curtain_transition, m_oil);

    // p_f + jet Q(p_f)² = p_eff. The curtain's flow is at most its turbulent limit, Q² ≤ 2 (C A)² p_f/ρ, so
    // that p_f is at least p_eff/(1 + most).
    const double capacity = m_discharge.curtain * gap.area;
    const double most = 2.0 * m_jet * capacity * capacity / m_oil.density;
    const auto excess = [&](double p_f) {
        const ValueSlope flow = curtain.flow(p_f);
        return ValueSlope{p_f + m_jet * flow.value * flow.value - p_eff,
                          1.0 + 2.0 * m_jet * flow.value * flow.slope};
    };
    const double least = p_eff / (1.0 + most);
    const double p_f = most > 0.0 ? find_root(excess, least, p_eff, least).x : p_eff;

    // The curtain's flow depends on lift and √p_f only by their product: ∂Q/∂lift = (2 p_f/lift) ∂Q/∂p_f.
    const ValueSlope flow = curtain.flow(p_f);
    const double stiffening = 1.0 + 2.0 * m_jet * flow.value * flow.slope;
    const double flow_slope = flow.slope * (1.0 + 2.0 * p_f * lift.slope / lift.lift) / stiffening;
    const ValueSlope port = m_ports.pressure(flow.value);
    return {.flow = flow.value,
            .flow_slope = flow_slope,
            .dp = p_f + port.value,
            .dp_slope = 1.0 + (port.slope - 2.0 * m_jet * flow.value) * flow_slope,
            .lift = lift.lift};
}

double jet_ratio(const Valve& valve, double load_area) {
    const double discharge = valve.discharge.port;
    return 2.0 * valve.jet_force * discharge * discharge * opening(valve.ports).area / load_area;
}

} // namespace valve::flow
