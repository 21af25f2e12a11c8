#pragma once

#include <valve/flow/link_state.hpp>
#include <valve/flow/oil.hpp>
#include <valve/flow/spec.hpp>

#include <optional>

namespace valve::flow {

/// The oil's way through one valve: ports, then the curtain under the face shim.
struct Through {
    double port_velocity = 0.0;    ///< mean over the ports [m/s]
    double port_reynolds = 0.0;    ///< on the hydraulic diameter of one port [-]
    double port_loss = 0.0;        ///< Δp_port [Pa]
    double curtain_velocity = 0.0; ///< mean over the curtain [m/s]
    double curtain_reynolds = 0.0; ///< on twice the lift [-]
    double curtain_loss = 0.0;     ///< p_f, the rest of the drop [Pa]

    /// Share of the ports in the drop [-].
    double port_share() const { return port_loss / (port_loss + curtain_loss); }
};

/// What flows through ports and curtain of `valve` at the `state` of its link; none while the stack is
/// shut.
std::optional<Through> through(const Valve& valve, const OilState& oil, const LinkState& state);

} // namespace valve::flow
