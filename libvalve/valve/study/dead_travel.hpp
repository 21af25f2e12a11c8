#pragma once

#include <valve/damper/model.hpp>
#include <valve/motion/moment.hpp>

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace valve::study {

// When dead travel is told to hang on a dip: our choice, no source.
inline constexpr double shallow_dip = 0.8;   ///< of the steady force, that a dip leaves at least
inline constexpr double least_dip = 0.05e-3; ///< of dead travel, that it makes [m]

// Reversals of a ride that count: our choice, no source. Less is not felt as a stroke.
inline constexpr double least_stroke = 5e-3;      ///< from reversal to reversal [m]
inline constexpr double least_stroke_speed = 0.1; ///< at its fastest [m/s]

/// A run of moments that go one way, from the reversal before to the one after; where the rod rests between,
/// the moments at rest next to it are part of it.
struct HalfStroke {
    std::size_t begin = 0;
    std::size_t peak = 0; ///< greatest speed
    std::size_t end = 0;  ///< last moment of it
};

/// Those one way (`sign` 1: compression, −1: rebound), in time.
std::vector<HalfStroke> half_strokes(std::span<const motion::RodMoment> moments, double sign);

/// Of those the one with the greatest speed; of some as fast as each other the last.
std::optional<HalfStroke> fastest(std::span<const motion::RodMoment> moments, double sign);

/// Travels from a reversal.
struct DeadTravel {
    std::optional<double> for_good; ///< until the damping force has come up to 90 % of its steady value [m]
    std::optional<double> but_for_dips; ///< the same but for dips to shallow_dip, where that is less [m]
};

/// From the beginning of `half` to the last instant before its peak speed at which sgn(v) times the damping
/// force is below 90 % of its steady value at the speed and travel of that instant. None where it still is at
/// the peak, or there is no steady state.
DeadTravel dead_travel(const damper::Model& model, damper::RodInto rod_into,
                       std::span<const motion::RodMoment> moments, const HalfStroke& half, double sign);

/// The same at constant speed, where the first time counts, and any time until the end.
std::optional<double> first_dead_travel(const damper::Model& model, damper::RodInto rod_into,
                                        std::span<const motion::RodMoment> moments, const HalfStroke& half,
                                        double sign);

/// Dead travel where a ride reverses into one stroke.
struct ReversalsInto {
    std::optional<double> dead_travel; ///< the largest, where the damping comes back at all [m]
    double time = 0.0;                 ///< of that reversal [s]
    double travel = 0.0;               ///< there [m]
    int count = 0;                     ///< of reversals
    int not_back = 0; ///< of these: where the damping has not come up to 90 % before the peak speed
};

/// Over all reversals into strokes one way of least_stroke or more and least_stroke_speed or more. A rod that
/// sticks and goes on the same way has not reversed, nor has one that leaves its rest at the beginning.
ReversalsInto reversals_into(const damper::Model& model, damper::RodInto rod_into,
                             std::span<const motion::RodMoment> moments, double sign);

} // namespace valve::study
