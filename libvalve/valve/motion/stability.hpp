#pragma once

#include <valve/damper/model.hpp>
#include <valve/motion/cycle.hpp>

#include <optional>

namespace valve::motion {

/// A damper's own oscillation about the state that lasts at constant rod speed.
struct Oscillation {
    double growth = 0.0; ///< of its amplitude, e-folds per second [1/s]; above zero the state does not last
    double frequency = 0.0;                                ///< [Hz]
    damper::Place valve = damper::Place::base_compression; ///< that has most of the energy of motion
};

/// The oscillation about the steady state at rod speed `speed` [m/s] that dies away most slowly, or grows
/// most quickly: of the equations of motion linearised there, the rod's travel held at `travel` [m], the
/// eigenvalue with the greatest real part among those that oscillate. None where nothing oscillates, where no
/// valve is off its seat, and where a void grows, so that nothing lasts. Throws SolveError, with speed and
/// travel, where there is no steady state, and where the valves find no place to stay in.
std::optional<Oscillation> least_damped(const damper::Model& model, const MovingValves& valves, double speed,
                                        double travel);

} // namespace valve::motion
