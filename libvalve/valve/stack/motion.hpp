#pragma once

#include <vector>

namespace valve::stack {

/// What a stack is in motion at one lift, coming from one side.
struct MotionSide {
    double mass = 0.0; ///< of the metal, as felt at the seat: Σ_i ∫ ρ_s t_i (∂w_i/∂y)² 2πr dr [kg]
    double oil_volume = 0.0; ///< of the oil that moves along, felt likewise: its mass over its density [m³]
    double area = 0.0;       ///< A = ∫ q ∂w_1/∂y 2πr dr, q the load per unit of pressure [m²]
    double pressure_slope = 0.0; ///< of p_stat along y [Pa/m]
    /// Half width of the hysteresis about p_stat that friction of the coefficient 1 between the shims makes
    /// [Pa], as stack::FrictionEstimate tells it of the round shape; none of a shape that is not round.
    double friction = 0.0;
};

/// The same on both sides of one lift: at an event two, else equal.
struct MotionPoint {
    double lift = 0.0;     ///< y [m]
    double pressure = 0.0; ///< p_stat, that holds the stack there [Pa]
    MotionSide below;
    MotionSide above;
};

/// A stack that moves through the states of its lift curve, with one coordinate, its seat lift y:
///   m ÿ + ½ m' ẏ² = A (p_eff − p_stat).
/// Shapes are those of the curve, ∂w/∂y = w'(p)/y'(p). The oil is that of plate::AddedMass for this shape,
/// open round its edge, each face moving half of it, inside the bore none; a rigid disc has its stated mass
/// and the 8/3 a³ of a disc in unbounded fluid (lamb_1932, art. 102).
struct Motion {
    /// Two or more, from where the seat opens, at a lift of zero, on. Lifts rise by more than 1 nm and
    /// pressures rise; masses and areas are above zero.
    std::vector<MotionPoint> points;
    bool stops = false; ///< the last lift is a hard end: more pressure does not lift the seat further
};

} // namespace valve::stack
