#pragma once

#include <valve/stack/detail/minimise.hpp>

#include <optional>

namespace valve::stack {

/// Ports as windows of one arc each, evenly round the ring: N = Stack::windows, each of the arc 2π
/// coverage/N. With θ counted from the middle of a port the pressure is
///   p(θ)/p = coverage + Σ a_k cos kNθ,  a_k = 2/(πk) sin(πk coverage).
///
/// The harmonics bend the stack about the state of its mean load, linearly, with all that this state does to
/// its stiffness (plate::FourierElement::tangent). What touches in that state, moves together; what lies on
/// the land, is held. So the mean round the ring stays that of the lift curve, and contacts that differ round
/// the ring are not followed: where the seat lets go at the ports first, or a shim lies down between them,
/// the numbers say so by a sign, not by a new equilibrium.

/// a_k, the k-th harmonic of the windows per unit of pressure; k = 0: the mean, `coverage`.
double window_harmonic(double coverage, int k);

/// What a load of 1 Pa times cos nθ, spread along the radius as the stack's load is, does to a state.
struct RingCompliance {
    double lift = 0.0;      ///< amplitude of the seat lift [m/Pa]
    double seat_load = 0.0; ///< of what the land bears on the face shim [N/(rad Pa)]
};

/// None where the stiffness against motion with n waves round the ring is not positive definite.
std::optional<RingCompliance> ring_compliance(const Problem& problem, const State& state, int n);

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

/// RingLift of a state; none where the stiffness against one of its harmonics is not positive definite, so
/// that the round state is none that stays (see first_waves). Harmonics fall as 1/k⁵; they are summed until
/// the next could not add 1e-4 of what the largest did. Throws std::invalid_argument for a stack without
/// windows.
std::optional<RingLift> ring_lift(const Problem& problem, const State& state);

/// What the land bears on the face shim at the middle of a port [N/rad]; below 0: there the seat has in truth
/// let go. None as for ring_lift(), and it throws as that does. Harmonics fall as 1/k² or slower; the
/// compliance of the last stands for all higher ones, whose pattern is known, and they are summed until a
/// change of compliance could not add 1e-3 of what the largest did.
std::optional<double> seat_load_mid_port(const Problem& problem, const State& state);

} // namespace valve::stack
