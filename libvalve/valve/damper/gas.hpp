#pragma once

namespace valve::damper {

/// Gas that has given up the volume `swept` [m³] of `volume` [m³]: p_0 (V_0/(V_0 − V))^n, absolute [Pa].
/// Throws std::invalid_argument where nothing is left, as do the next two.
double gas_pressure(double pressure, double volume, double exponent, double swept);

/// Its dp/dV = n p/(V_0 − V) [Pa/m³].
double gas_stiffness(double pressure, double volume, double exponent, double swept);

/// The work done on it, ∫ p dV = p_0 V_0 [(V_0/(V_0 − V))^(n−1) − 1]/(n − 1) [J]; at n = 1 its limit,
/// p_0 V_0 ln(V_0/(V_0 − V)).
double gas_work(double pressure, double volume, double exponent, double swept);

} // namespace valve::damper
