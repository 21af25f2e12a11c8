#pragma once

#include <valve/core/root.hpp>
#include <valve/flow/oil.hpp>

namespace valve::flow {

/// Oil with its free air at one temperature, from near-vacuum upwards. Volumes are relative to that at 1 atm,
///   v(p) = (1 − x0) exp(−(p − p_atm)/K) + x0 (p_atm/p)^(1/n).
/// Pressures are absolute and above zero [Pa]. A void is the same mixture, expanded; only without air is
/// there none.
class Mixture {
public:
    /// `exponent` n of the air: 1 slow, 1.4 in time. Throws std::invalid_argument unless it is positive.
    Mixture(const OilState& oil, double exponent);

    /// v [-] at `pressure`, and dv/dp [1/Pa].
    ValueSlope volume(double pressure) const;

    /// v − 1 without the loss of digits near 1 atm [-], and dv/dp [1/Pa].
    ValueSlope expansion(double pressure) const;

    /// Pressure at which v − 1 is `expansion` > −1 [-], to rounding. Without air, what follows from the
    /// liquid alone, which may be below zero. `guess` is where to look first; any value will do.
    double pressure(double expansion, double guess) const;

    /// ∫ v dp from 1 atm: the enthalpy of what fills 1 m³ at 1 atm [J/m³].
    double enthalpy(double pressure) const;

private:
    double m_bulk_modulus = 0.0; // K [Pa]
    double m_air = 0.0;          // x0 [-]
    double m_power = 1.0;        // 1/n [-]
};

} // namespace valve::flow
