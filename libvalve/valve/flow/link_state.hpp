#pragma once

namespace valve::flow {

/// A link at one moment. Pressure drop and flows are signed, positive forward; lift, pressure on the shim and
/// losses belong to the valve that opens this way, and are not negative.
struct LinkState {
    double dp = 0.0;   ///< Δp, first chamber less second; infinite where a closed way must pass oil [Pa]
    double flow = 0.0; ///< Q, through all ways [m³/s]
    double flow_slope = 0.0;   ///< dQ/dΔp [m³/(s Pa)]
    double drop_slope = 0.0;   ///< dΔp/dQ; infinite where nothing passes [Pa s/m³]
    double p_eff = 0.0;        ///< on the face shim; Δp while the stack is shut [Pa]
    double lift = 0.0;         ///< at the seat [m]
    double stack_flow = 0.0;   ///< part of the flow through ports and stack [m³/s]
    double bleed_flow = 0.0;   ///< part of the flow through bleeds [m³/s]
    double leak_flow = 0.0;    ///< part of the flow past the ring [m³/s]
    double port_loss = 0.0;    ///< of the stack's flow [Pa]
    double curtain_loss = 0.0; ///< of the stack's flow [Pa]
    bool is_closed = false;    ///< nothing passes, however large the drop is that the state holds
    bool beyond_curve = false; ///< p_eff lies beyond the end of the stack's lift curve
};

} // namespace valve::flow
