#pragma once

#include <valve/stack/detail/path.hpp>
#include <valve/stack/lift_law.hpp>
#include <valve/stack/windows.hpp>

#include <optional>

namespace valve::stack {

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

/// Follows the windows of a stack along `curve` by `path`, which must be that of the curve's stack and
/// theory: looked for at the curve's landmarks, then located to 1e-3.
RingCurve follow_ring(Path& path, const LiftCurve& curve);

/// The same at one pressure [Pa]; none where there is no state, or the harmonics do not hold.
std::optional<RingLift> ring_lift_at(Path& path, double pressure);

/// Mean lift over the arcs of the ports as a function of p_eff.
struct ArcsLaw {
    LiftLaw law;
    std::optional<double> holds_until; ///< as RingCurve's [Pa]
};

/// The law over the ports. Closed up to the crack at mid-port. From
/// there to the crack of the mean, where the seat is open at the ports alone, which the harmonics do not
/// describe, it rises monotonically. Beyond the pressure to which the harmonics hold, they are as compliant
/// as there. Where contact of the mean state makes them stiffer at once, which in truth it does by and by,
/// lift stays level. Throws SolveError where the harmonics do not hold as the stack opens.
ArcsLaw open_arcs_law(Path& path, const LiftCurve& curve);

} // namespace valve::stack
