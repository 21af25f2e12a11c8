#include <valve/flow/through.hpp>

namespace valve::flow {

std::optional<Through> through(const Valve& valve, const OilState& oil, const PassageState& state) {
    if (!(state.stack_flow > 0.0)) return std::nullopt;
    const Opening ports = opening(valve.ports);
    const Opening gap = curtain_gap(curtain_length(valve), state.lift);
    Through result;
    result.port_velocity = state.stack_flow / ports.area;
    result.port_reynolds = result.port_velocity * ports.hydraulic_diameter / oil.kinematic_viscosity;
    result.port_loss = Restriction(ports, valve.discharge.port, valve.discharge.port_transition, oil)
                           .pressure(state.stack_flow)
                           .value;
    result.curtain_velocity = state.stack_flow / gap.area;
    result.curtain_reynolds = result.curtain_velocity * gap.hydraulic_diameter / oil.kinematic_viscosity;
    result.curtain_loss = state.dp - result.port_loss;
    return result;
}

} // namespace valve::flow
