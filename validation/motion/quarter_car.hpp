#pragma once

#include <valve/damper/support.hpp>
#include <valve/motion/ride.hpp>

#include <complex>
#include <cstddef>
#include <numbers>
#include <optional>

namespace valve::validation {

/// A quarter car, linear but for its friction and its linkage: the damper is a ring gap of thin oil that
/// hardly gives, gas behind it; without damping, a piston that is wide open.
struct QuarterCar {
    double sprung = 0.0;                                        ///< [kg]
    double unsprung = 0.0;                                      ///< [kg]
    double spring = 0.0;                                        ///< [N/m]
    double damping = 0.0;                                       ///< [N s/m]
    double tyre = 0.0;                                          ///< [N/m]
    double tyre_damping = 0.0;                                  ///< [N s/m]
    double friction = 0.0;                                      ///< [N]
    double breakaway = 0.0;                                     ///< [N]
    std::optional<damper::LinkageTable> linkage = std::nullopt; ///< none: the unit moves as the wheel does
};

/// Over an event, the wheel a point.
motion::Ride ride(const QuarterCar& car, const motion::Event& event, int samples,
                  double relative_error = motion::RideOptions().relative_error);

/// Waves of one length from the start of a run: z = a (1 − cos 2πs/λ).
motion::Event sine_road(double wavelength, double amplitude, double speed, double duration);

/// The part of `value` (of a moment) that has the period of a road of such waves, over the last whole
/// periods, by the road's own, −a e^{iωt} [as value].
template <class Value>
std::complex<double> response(const motion::Ride& ride, double period, int periods, const Value& value) {
    const double begin = ride.series.back().time - period * periods;
    std::complex<double> sum;
    for (std::size_t i = 1; i < ride.series.size(); ++i) {
        const motion::RideMoment& from = ride.series[i - 1];
        const motion::RideMoment& to = ride.series[i];
        if (from.time < begin - 1e-12) continue;
        const double angular = 2.0 * std::numbers::pi / period;
        sum -= 0.5 * (to.time - from.time) *
               (value(from) * std::polar(1.0, -angular * from.time) +
                value(to) * std::polar(1.0, -angular * to.time));
    }
    return 2.0 * sum / (period * periods);
}

} // namespace valve::validation
