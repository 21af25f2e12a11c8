#pragma once

#include <valve/stack/detail/minimise.hpp>
#include <valve/stack/ring.hpp>

#include <optional>

namespace valve::stack {

/// a_k (see RingLift), the k-th harmonic of the windows per unit of pressure; k = 0: the mean, `coverage`.
double window_harmonic(double coverage, int k);

/// What a load of 1 Pa times cos nθ, spread along the radius as the stack's load is, does to a state.
struct RingCompliance {
    double lift = 0.0;      ///< amplitude of the seat lift [m/Pa]
    double seat_load = 0.0; ///< of what the land bears on the face shim [N/(rad Pa)]
};

/// None where the stiffness against motion with n waves round the ring is not positive definite.
std::optional<RingCompliance> ring_compliance(const Problem& problem, const State& state, int n);

/// RingLift of a state; none where the stiffness against one of its harmonics is not positive definite, so
/// that the round state is none that stays (see WaveSearch). Harmonics fall as 1/k⁵; they are summed until
/// the next could not add 1e-4 of what the largest did. Throws std::invalid_argument for a stack without
/// windows.
std::optional<RingLift> ring_lift(const Problem& problem, const State& state);

/// What the land bears on the face shim at the middle of a port [N/rad]; below 0: there the seat has in truth
/// let go. None as for ring_lift(), and it throws as that does. Harmonics fall as 1/k² or slower; the
/// compliance of the last stands for all higher ones, whose pattern is known, and they are summed until a
/// change of compliance could not add 1e-3 of what the largest did.
std::optional<double> seat_load_mid_port(const Problem& problem, const State& state);

} // namespace valve::stack
