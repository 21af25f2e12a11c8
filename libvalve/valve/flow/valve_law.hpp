#pragma once

#include <valve/flow/oil.hpp>
#include <valve/flow/opening.hpp>
#include <valve/flow/restriction.hpp>
#include <valve/flow/spec.hpp>
#include <valve/stack/lift_law.hpp>
#include <valve/stack/uneven_law.hpp>

#include <algorithm>
#include <limits>
#include <memory>
#include <optional>
#include <utility>

namespace valve::flow {

/// Ports and stack of one valve, without its bleed. The unknown is p_eff, the pressure that loads the face
/// shim: p_eff = p_f + c_j ρ Q²/(A_port A_load), p_f being the static pressure behind the shim, which the
/// curtain uses up; Δp = p_f + Δp_port(Q). Q rises with p_eff, so a flow has exactly one state. Δp rises with
/// it too where jet_ratio() is small enough. One-way: at p_eff ≤ 0 nothing flows.
///
/// The lift follows a law of the round shape and, where one is given, from where that takes over, the law of
/// the stack as it bends round the ring. That one is costly, and so looked up only where the round state lies
/// beyond, upwards from where it begins.
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
        bool beyond_end = false;   ///< p_eff lies beyond the end of the lift law
    };

    using Bent = std::shared_ptr<const stack::UnevenLaw>;

    /// `lift` is the law of the ring's mean, or where opens_over_ports(valve) that over the ports; `bent`
    /// that of the same mean as the stack bends, null: it stays round. Throws std::invalid_argument where
    /// check(valve) has an error that keeps the law from being built.
    ValveLaw(const Valve& valve, stack::LiftLaw lift, const OilState& oil, Bent bent = nullptr);

    /// State at `p_eff` [Pa]. Beyond the end of the law the lift goes on along its last slope.
    State at(double p_eff) const;

    /// The same of the round shape.
    State round_at(double p_eff) const { return with_lift(p_eff, round_lift(p_eff)); }

    /// State at the pressure drop `dp` [Pa], from opening_pressure() on; one of them where the valve can
    /// snap. Throws SolveError where none is found.
    State at_drop(double dp) const;

    /// Highest p_eff at which the stack is still closed [Pa].
    double opening_pressure() const { return m_opening_pressure; }

    /// p_eff at the end of the round shape's lift curve [Pa].
    double max_pressure() const { return m_lift.max_pressure(); }

    /// Lift at the end of the round shape's lift curve [m].
    double end_lift() const { return m_end.lift; }

    /// State at the end of the law, which is followed up to there.
    State end() const;

    /// A p_eff at which the round stack alone passes `flow` [m³/s] or more, `flow` being more than at the end
    /// of the lift curve, and the lift there above zero [Pa].
    double pressure_beyond(double flow) const { return pressure_beyond(flow, m_end.lift); }

    /// Whether the stack bends round the ring as soon as it opens, so that the round shape says nothing.
    bool is_bent_from_opening() const { return m_bent && m_bent->from_opening(); }

    /// Where `is_short(state)` ceases to hold along the law of the stack as it bends, between two pressures
    /// at which that law is known. None where the law is the round one up to `p_eff` [Pa], at which
    /// is_short() ends to hold of the round shape. Beyond the end of the law the upper end is a pressure at
    /// which the stack alone passes `flow` [m³/s].
    template <class Short>
    std::optional<std::pair<double, double>> bent_interval(double p_eff, double flow,
                                                           const Short& is_short) const {
        const std::optional<double> from = m_bent ? m_bent->from(p_eff) : std::nullopt;
        if (!from) return std::nullopt;
        double low = *from;
        for (;;) {
            const double high = m_bent->next(low);
            if (high == std::numeric_limits<double>::infinity()) break;
            if (!is_short(bent_at(high))) return std::pair{low, high};
            low = high;
        }
        return std::pair{low, std::max(low, pressure_beyond(flow, bent_at(low).lift))};
    }

private:
    stack::LiftLaw::Value round_lift(double p_eff) const;
    State with_lift(double p_eff, const stack::LiftLaw::Value& lift) const;
    State bent_at(double p_eff) const;
    double pressure_beyond(double flow, double lift) const;
    Restriction curtain(double lift) const;
    State open(double p_eff, double p_f, const stack::LiftLaw::Value& lift, const ValueSlope& curtain,
               const ValueSlope& port) const;
    State round_at_drop(double dp) const;
    State at_drop_by_velocity(double dp) const;
    State at_drop_by_pressure(double dp) const;

    stack::LiftLaw m_lift;
    Bent m_bent;
    stack::LiftLaw::Value m_end; // of the lift law
    double m_opening_pressure = 0.0;
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
