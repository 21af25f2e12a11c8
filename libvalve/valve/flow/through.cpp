#include <valve/flow/opening.hpp>
#include <valve/flow/through.hpp>

#include <cmath>

namespace valve::flow {

std::optional<Through> through(const Valve& valve, const OilState& oil, const LinkState& state) {
    if (state.stack_flow == 0.0) return std::nullopt;
    const double flow = std::abs(state.stack_flow);
    const Opening ports = opening(valve.ports);
    const Opening gap = curtain_gap(curtain_length(valve), state.lift);
    Through result;
    result.port_velocity = flow / ports.area;
    result.port_reynolds = result.port_velocity * ports.hydraulic_diameter / oil.kinematic_viscosity;
    result.port_loss = state.port_loss;
    result.curtain_velocity = flow / gap.area;
    result.curtain_reynolds = result.curtain_velocity * gap.hydraulic_diameter / oil.kinematic_viscosity;
    result.curtain_loss = state.curtain_loss;
    return result;
}

} // namespace valve::flow
