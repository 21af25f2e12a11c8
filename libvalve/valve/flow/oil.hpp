#pragma once

#include <valve/core/constants.hpp>
#include <valve/core/root.hpp>
#include <valve/flow/spec.hpp>

namespace valve::flow {

/// Oil at one temperature.
struct OilState {
    double temperature = 0.0;         ///< [K]
    double density = 0.0;             ///< of the liquid [kg/m³]
    double kinematic_viscosity = 0.0; ///< [m²/s]
    double bulk_modulus = 0.0;        ///< of the air-free oil [Pa]
    double free_air = 0.0;            ///< volume fraction at 1 atm [-]
    double cavitation_pressure = 0.0; ///< absolute [Pa]

    double dynamic_viscosity() const { return density * kinematic_viscosity; } ///< [Pa s]

    /// V(p)/V(p_atm) of oil with its free air [-], and its derivative [1/Pa]:
    /// (1 − x0) exp(−(p − p_atm)/K) + x0 (p_atm/p)^(1/n).
    /// `pressure` absolute, above zero [Pa] (else std::invalid_argument); `exponent` n: 1 slow, 1.4 in time.
    ValueSlope relative_volume(double pressure, double exponent) const;
};

/// Kinematic viscosity [m²/s] at `temperature` [K]: log10 log10(ν + 0.7) linear in log10 T, ν in mm²/s,
/// through the oil's two points. The constant 0.7 holds above 2 mm²/s.
/// Source: astm_d341.
double kinematic_viscosity(const Oil& oil, double temperature);

/// Density of the liquid [kg/m³] at `temperature` [K]: ρ_15 [1 − α (T − 15 °C)].
double density(const Oil& oil, double temperature);

/// `oil` at `temperature` [K]. Throws std::invalid_argument where check(oil) has an error.
OilState state_of(const Oil& oil, double temperature);

/// `oil` at the temperature at which the unit works.
OilState state_of(const Oil& oil);

} // namespace valve::flow
