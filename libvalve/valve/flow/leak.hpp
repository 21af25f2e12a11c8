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
/// Source: merritt_1967, chapter 3.
double leak_conductance(const AnnularGap& gap, double dynamic_viscosity);

/// Narrow concentric gap that widens or narrows evenly along the flow.
struct TaperedGap {
    double diameter = 0.0; ///< mean, of the gap [m]
    double gap_from = 0.0; ///< radial, at one end [m]
    double gap_to = 0.0;   ///< radial, at the other [m]
    double length = 0.0;   ///< along the flow [m]
};

/// The same of a tapered gap: π D/(12 μ ∫ds/h³), with ∫ds/h³ = L (h_1 + h_2)/(2 h_1² h_2²); for dh/ds « 1.
/// Source: integral of the law above.
double leak_conductance(const TaperedGap& gap, double dynamic_viscosity);

} // namespace valve::flow
