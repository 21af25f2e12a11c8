#pragma once

#include <valve/flow/oil.hpp>
#include <valve/flow/opening.hpp>
#include <valve/flow/restriction.hpp>
#include <valve/flow/spec.hpp>
#include <valve/stack/lift_law.hpp>

namespace valve::flow {

/// Ports and stack of one valve, without its bleed. The unknown is p_eff, the pressure that loads the face
/// shim: p_eff = p_f + c_j ρ Q²/(A_port A_load), p_f being the static pressure behind the shim, which the
/// curtain uses up; Δp = p_f + Δp_port(Q). Q rises with p_eff, so a flow has exactly one state. Δp rises with
/// it too where jet_ratio() is small enough. One-way: at p_eff ≤ 0 nothing flows.
class ValveLaw {
public:
    struct State {
        double flow = 0.0;         ///< [m³/s]
        double flow_slope = 0.0;   ///< dQ/dp_eff [m³/(s Pa)]
        double dp = 0.0;           ///< across ports and curtain [Pa]
        double dp_slope = 0.0;     ///< dΔp/dp_eff [-]
        double lift = 0.0;         ///< of the law given, at the seat [m]
        double p_eff = 0.0;        ///< on the face shim [Pa]
        double port_loss = 0.0;    ///< Δp_port [Pa]
        double curtain_loss = 0.0; ///< p_f [Pa]
    };

    /// `lift` is the law of the ring's mean, or where opens_over_ports(valve) that over the ports. Throws
    /// std::invalid_argument where check(valve) has an error that keeps the law from being built.
    ValveLaw(const Valve& valve, stack::LiftLaw lift, const OilState& oil);

    /// State at `p_eff` [Pa]. Above max_pressure() the lift goes on along the last slope of its law.
    State at(double p_eff) const;

    /// State at the pressure drop `dp` [Pa], from opening_pressure() on; one of them where the valve can
    /// snap. Throws SolveError where none is found.
    State at_drop(double dp) const;

    /// Highest p_eff at which the stack is still closed [Pa].
    double opening_pressure() const { return m_lift.opening_pressure(); }

    /// p_eff at the end of the lift curve [Pa].
    double max_pressure() const { return m_lift.max_pressure(); }

    /// Lift there [m].
    double end_lift() const { return m_end.lift; }

    /// A p_eff at which the stack alone passes `flow` [m³/s] or more, `flow` being more than at the end of
    /// the lift curve, and the lift there above zero [Pa].
    double pressure_beyond(double flow) const;

private:
    stack::LiftLaw::Value lift_at(double p_eff) const;
    Restriction curtain(double lift) const;
    State open(double p_eff, double p_f, const stack::LiftLaw::Value& lift, const ValueSlope& curtain,
               const ValueSlope& port) const;
    State at_drop_by_velocity(double dp) const;
    State at_drop_by_pressure(double dp) const;

    stack::LiftLaw m_lift;
    stack::LiftLaw::Value m_end; // of the lift law
    Restriction m_ports;
    double m_curtain_length = 0.0; // [m]
    Discharge m_discharge;
    double m_jet = 0.0; // c_j ρ/(A_port A_load) [Pa s²/m⁶]
    double m_jet_ratio = 0.0;
    OilState m_oil;
};

/// 2 c_j C_d∞² A_port/A_load [-]. Up to 1, Δp rises with p_eff where the ports are turbulent; above 1 the
/// valve can snap between two states when it is driven by pressure. In the transition of the ports, near the
/// flow number 0.9 λ_c, the tanh law is flatter than its turbulent limit, so that Δp is certain to rise only
/// up to max_certain_jet_ratio.
double jet_ratio(const Valve& valve, double load_area);

/// 1/max_y(tanh² y + y tanh y/cosh² y).
inline constexpr double max_certain_jet_ratio = 0.9312;

} // namespace valve::flow
