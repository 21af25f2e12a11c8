#pragma once

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
