#pragma once

namespace valve::stack {

/// What friction between the shims makes of one pressure: the shape that frictionless shims take under it
/// needs about pressure (1 + share) on the way up and holds down to pressure (1 − share) on the way back.
///
/// To first order in the coefficient the contact forces N and shapes are those without friction. Neighbours
/// slide on each other by s = u₂ − u₁ + (t₁ w₁' + t₂ w₂')/2 at their faces, and the work lost comes from the
/// pressure's: share = μ Σ N |ds/dp| / (p dV/dp), V being the volume that the pressure sweeps. Without
/// preload n equal linear plates give μ t (n − 1)/2 ∫ |w'| dA / ∫ w dA over the loaded area, as 1/n of the
/// load stays in each.
///
/// Good as long as the share is small. Not counted: what sticks at a reversal, and the face shim's friction
/// on hub and land, the last shim's under a spring or stop. One shim, and a disc, have none.
struct FrictionEstimate {
    double pressure = 0.0; ///< [Pa]
    double share = 0.0;    ///< half width of the hysteresis over the pressure [-]
    double lift = 0.0;     ///< the same as a change of the seat lift [m]
};

} // namespace valve::stack
