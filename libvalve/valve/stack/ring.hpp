#pragma once

#include <valve/stack/lift_law.hpp>

#include <optional>

namespace valve::stack {

/// Ports as windows of one arc each, evenly round the ring: N = Stack::windows, each of the arc 2π
/// coverage/N. With θ counted from the middle of a port the pressure is
///   p(θ)/p = coverage + Σ a_k cos kNθ,  a_k = 2/(πk) sin(πk coverage).
///
/// The harmonics bend the stack linearly about the state of its mean load, with all that this state does to
/// its stiffness. Shims that touch in that state move as one; the land holds what lies on it. So the mean
/// round the ring stays that of the lift curve. Contacts that differ round the ring are not followed: where
/// the seat lets go at the ports first, or a shim lies down between them, a sign tells it, not a new
/// equilibrium.

/// Seat lift of a stack under windows, at one pressure.
struct RingLift {
    double pressure = 0.0;  ///< [Pa]
    double mean = 0.0;      ///< that of the lift curve [m]
    double mid_port = 0.0;  ///< at the middle of a port [m]
    double mid_land = 0.0;  ///< half-way between two ports [m]; below 0: there the shim in truth lies down
    double open_arcs = 0.0; ///< mean over the arcs of the ports [m]
    double waviness = 0.0;  ///< half of mid_port − mid_land, per thickness of the thinnest shim [-]
    int harmonics = 0;      ///< that were summed

    /// Waviness from which the waves stretch the shims by themselves, which linear harmonics leave out: lift
    /// between ports then comes out too low by more than 5 % of the mean, as solid models say.
    static constexpr double most_waviness = 0.3;
};

/// What windows change along a lift curve.
struct RingCurve {
    /// Where the load of the seat vanishes at the middle of a port [Pa]; none: nowhere up to the end.
    std::optional<double> crack_mid_port;
    /// Up to where the shim lies down half-way between two ports though the mean has lifted [Pa].
    std::optional<double> lies_down_until;
    /// Up to where the linear harmonics hold [Pa]; none: to the end. Beyond it RingLift::most_waviness is
    /// passed, or the stack buckles into waves of the ports' number.
    std::optional<double> holds_until;
};

/// Mean lift over the arcs of the ports as a function of p_eff. Closed up to the crack at mid-port. From
/// there to the crack of the mean, where the seat is open at the ports alone, which the harmonics do not
/// describe, it rises monotonically. Beyond the pressure to which the harmonics hold, they are as compliant
/// as there. Where contact of the mean state makes them stiffer at once, which in truth it does by and by,
/// lift stays level.
struct ArcsLaw {
    LiftLaw law;
    std::optional<double> holds_until; ///< as RingCurve's [Pa]
};

} // namespace valve::stack
