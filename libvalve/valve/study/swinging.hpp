#pragma once

#include <valve/damper/model.hpp>
#include <valve/motion/cycle.hpp>

#include <vector>

namespace valve::study {

/// From which rod speed on the steady state of a stroke does not last, since valves swing by themselves: but
/// for friction between shims, which holds swings that are small and not those that a blow has started.
struct SwingOnset {
    damper::Place valve = damper::Place::base_compression; ///< that swings most
    damper::Stroke stroke = damper::Stroke::compression;
    double speed = 0.0;     ///< of the rod, magnitude [m/s]
    double frequency = 0.0; ///< with which it swings [Hz]
};

/// The lowest speed of each stroke, up to `fastest` [m/s], at which an oscillation about the steady state at
/// `travel` [m] grows, shims sliding without friction: of speeds from 0.05 m/s on, each a tenth above the
/// last, the first at which one does, then within a thousandth of that by halves. Where it grows at 0.05 m/s,
/// that, or `fastest` where that is slower; a range of speeds narrower than a tenth may be missed. None of a
/// stroke whose steady state lasts, or where there is none to be found.
std::vector<SwingOnset> swing_onsets(const damper::Model& model, const motion::MovingValves& valves,
                                     double travel, double fastest);

} // namespace valve::study
