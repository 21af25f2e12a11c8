#pragma once

#include <valve/core/root.hpp>
#include <valve/flow/oil.hpp>
#include <valve/flow/opening.hpp>

namespace valve::flow {

/// A passage that is laminar at small flow and turbulent at large, the same both ways:
/// Q = C A x tanh(κ x) with x = √(2Δp/ρ) and κ = 2 D_h/(ν λ_c), that is Q = C_d A √(2Δp/ρ) with
/// C_d = C tanh(2λ/λ_c) at the flow number λ = D_h x/ν. Linear in Δp near zero: Q = 2 C A κ Δp/ρ.
/// Source: mccloy_martin_1980.
class Restriction {
public:
    /// `discharge` C and `transition` λ_c [-]. Throws std::invalid_argument unless all are positive.
    Restriction(const Opening& opening, double discharge, double transition, const OilState& oil);

    /// The same of a gap `times` as wide [-]; area and hydraulic diameter grow alike.
    Restriction widened(double times) const {
        Restriction wider = *this;
        wider.m_capacity *= times;
        wider.m_transition *= times;
        return wider;
    }

    /// Flow [m³/s] at the pressure drop `dp` [Pa] of either sign, and its derivative.
    ValueSlope flow(double dp) const;

    /// Pressure drop [Pa] at `flow` [m³/s] of either sign, and its derivative.
    ValueSlope pressure(double flow) const;

private:
    double m_capacity = 0.0;   // C A [m²]
    double m_transition = 0.0; // κ [s/m]
    double m_per_flow = 0.0;   // κ/(C A), of any width of a gap [s/m³]
    double m_density = 0.0;    // [kg/m³]
};

} // namespace valve::flow
