#pragma once

#include <valve/motion/detail/moving_damper.hpp>

namespace valve::motion::detail {

/// A little flow for each Pa, so that a base that passes nothing at all still tells which way the reservoir's
/// piston is pressed, and oil in its ports that has nowhere to go stops within microseconds [m³/(s Pa)].
inline constexpr double flow_hint = 1e-12;

/// The same where that piston has mass: what it takes in then all but passes the base, at a drop of any size.
inline constexpr double flow_hint_of_mass = 1e-15;

/// All that the rates depend on at one moment, and its derivatives by the unknowns.
struct MovingDamper::Snapshot {
    RodMotion rod;
    double volume_C = 0.0; // [m³]
    double volume_R = 0.0;
    double oil_C = 0.0; // m/ρ [m³]
    double oil_R = 0.0;
    double p_C = 0.0; // [Pa]
    double p_R = 0.0;
    double p_S = 0.0;
    double p_S0 = 0.0;          // without friction
    double outside = 0.0;       // into which the rod leaves
    double p_C_slope = 0.0;     // by u_C [Pa/m³]
    double p_R_slope = 0.0;     // by u_R
    double p_C_by_travel = 0.0; // [Pa/m]
    double p_R_by_travel = 0.0;
    double p_S_by_travel = 0.0; // of p_S0, where S is a chamber of its own, or V_S an unknown
    double stiffness = 0.0;     // of the reservoir, by its oil [Pa/m³]
    double taken_in = 0.0;      // V_S [m³]
    double intake = 0.0;        // dV_S/dt [m³/s]
    double intake_rate = 0.0;   // of that, where the reservoir's piston has mass [m³/s²]
    double p_C_by_intake = 0.0; // by V_S, where that is an unknown [Pa/m³]
    flow::Mixture::State mixture_C;
    flow::Mixture::State mixture_R;
    Way piston;
    Way base;
    std::array<ValveMotion, 4> valves{}; // by place
    std::array<ValveMoment, 4> seen{};   // the same as told
};

/// The last snapshot and what it is of: a step's end is watched, told and begun from.
struct MovingDamper::Kept {
    Snapshot at;
    Modes modes;
    std::vector<double> y; // empty: none
};

} // namespace valve::motion::detail
