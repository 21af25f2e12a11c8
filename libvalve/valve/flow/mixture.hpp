#pragma once

#include <valve/flow/oil.hpp>

namespace valve::flow {

/// Oil with its free air at one temperature, from near-vacuum upwards. Volumes are relative to that at 1 atm,
///   v(p) = (1 − x0) exp(−(p − p_atm)/K) + x0 (p_atm/p)^(1/n).
/// Pressures are absolute and above zero [Pa]. A void is the same mixture, expanded; only without air is
/// there none.
class Mixture {
public:
    /// The mixture at one pressure.
    struct State {
        double pressure = 0.0;  ///< [Pa]
        double expansion = 0.0; ///< v − 1, without the loss of digits near 1 atm [-]
        double slope = 0.0;     ///< dv/dp [1/Pa]
        double curvature = 0.0; ///< d²v/dp² [1/Pa²]
        double enthalpy = 0.0;  ///< ∫ v dp from 1 atm: of what fills 1 m³ at 1 atm [J/m³]
        double air_slope = 0.0; ///< the air's part of `slope` [1/Pa]
    };

    /// `exponent` n of the air: 1 slow, 1.4 in time. Throws std::invalid_argument unless it is positive.
    Mixture(const OilState& oil, double exponent);

    State at(double pressure) const;

    /// Where v − 1 is `expansion` > −1 [-], to rounding. Without air, what follows from the liquid alone,
    /// whose pressure may be below zero. The search begins at `near`, any state will do, and leaves there the
    /// last one that at() gave: searches along a motion need few, or none. Throws SolveError for an expansion
    /// that is no number.
    State at_expansion(double expansion, State& near) const;

private:
    double m_bulk_modulus = 0.0; // K [Pa]
    double m_air = 0.0;          // x0 [-]
    double m_power = 1.0;        // 1/n [-]
};

} // namespace valve::flow
