#pragma once

#include <valve/flow/restriction.hpp>
#include <valve/flow/valve_law.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::flow {

/// What flows through a passage at one pressure drop.
struct PassageState {
    double dp = 0.0;         ///< [Pa]
    double flow = 0.0;       ///< through all ways [m³/s]
    double flow_slope = 0.0; ///< dQ/dΔp [m³/(s Pa)]
    double p_eff = 0.0;      ///< on the face shim [Pa]
    double lift = 0.0;       ///< at the seat [m]
    double stack_flow = 0.0; ///< through ports and stack [m³/s]
};

/// All that lies between two chambers for flow in one direction: the stack that opens this way, bleeds, and
/// the leak of a ring, side by side at the same pressure drop.
class Passage {
public:
    /// `name` is for messages: "piston.compression". `leak` is a conductance [m³/(s Pa)].
    Passage(std::string name, std::optional<ValveLaw> valve, std::vector<Restriction> bleeds,
            double leak = 0.0);

    /// State at `flow` ≥ 0 [m³/s], rest at zero. Throws SolveError where the flow lies beyond the end of the
    /// lift curve or nothing lets it through; std::invalid_argument for a negative flow.
    PassageState at_flow(double flow) const;

    /// State at the pressure drop `dp` ≥ 0 [Pa]. Throws SolveError beyond the end of the lift curve,
    /// std::invalid_argument for a negative pressure drop.
    PassageState at_pressure(double dp) const;

    /// State at the end of the lift curve; without a stack, infinite pressure drop and flow (no flow when
    /// there is no way at all).
    const PassageState& end() const { return m_end; }

    const std::string& name() const { return m_name; }

private:
    ValueSlope bleed_flow(double dp) const;
    double bleed_pressure(double flow) const;
    PassageState closed(double dp) const;
    PassageState open(double p_eff) const;
    template <class Excess>
    PassageState solve(const Excess& excess, double start) const;

    std::string m_name;
    std::optional<ValveLaw> m_valve;
    std::vector<Restriction> m_bleeds;
    double m_leak = 0.0;
    PassageState m_end;
};

} // namespace valve::flow
