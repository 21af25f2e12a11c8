#pragma once

namespace valve::flow {

/// Narrow gap between a piston ring and its bore.
struct AnnularGap {
    double diameter = 0.0;     ///< of the bore [m]
    double gap = 0.0;          ///< radial, where concentric [m]
    double length = 0.0;       ///< along the flow [m]
    double eccentricity = 0.0; ///< 0 concentric … 1 touching [-]
};

/// Laminar flow per unit of pressure drop [m³/(s Pa)]: π D h³ (1 + 1.5 ε²)/(12 μ L), for h « D.
/// `dynamic_viscosity` μ [Pa s].
/// Source: H. E. Merritt, Hydraulic Control Systems, 1967, chapter 3 (from memory).
double leak_conductance(const AnnularGap& gap, double dynamic_viscosity);

} // namespace valve::flow
