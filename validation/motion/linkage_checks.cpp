#include <motion/parts.hpp>
#include <motion/quarter_car.hpp>
#include <valve/core/constants.hpp>

#include <fmt/format.h>

#include <cmath>
#include <complex>
#include <cstddef>
#include <numbers>

namespace valve::validation {

namespace {

using motion::Event;
using motion::EventKind;
using motion::Ride;
using motion::RideMoment;

/// Unit's travel by the wheel's.
damper::LinkageTable table(double full, double step, double slope, double bend) {
    damper::LinkageTable result;
    const auto points = static_cast<std::size_t>(std::lround(full / step));
    for (std::size_t i = 0; i <= points; ++i) {
        const double w = static_cast<double>(i) * step;
        result.wheel_travel.push_back(w);
        result.travel.push_back(slope * w + bend * w * w);
    }
    return result;
}

/// Amplitude of the wheel's travel over a sine road by the road's, of a car whose unit is worth
/// `spring` and `damping` at the wheel.
double travel_gain(const QuarterCar& car, double spring, double damping, double angular) {
    using Complex = std::complex<double>;
    const Complex unit{spring, damping * angular};
    const double ss = car.sprung * angular * angular;
    const double uu = car.unsprung * angular * angular;
    // −m_s ω² z_s = K (z_u − z_s); −m_u ω² z_u = −K (z_u − z_s) + k_t (1 − z_u); w = z_u − z_s
    const Complex body = unit / (unit - ss); // by the wheel
    const Complex wheel = car.tyre / (car.tyre - uu + unit * (1.0 - body));
    return std::abs(wheel * (1.0 - body));
}

/// A unit behind a linkage: what it is worth at the wheel, and that no power is lost on the way.
void linkages(Recorder& recorder) {
    QuarterCar car{120.0, 18.0, 80e3, 4000.0, 180e3};
    constexpr double speed = 10.0;
    const auto gain_of = [&](double wavelength, double height) {
        const double period = wavelength / speed;
        const double settled = std::ceil(3.0 / period) * period;
        const Ride ride = validation::ride(car, sine_road(wavelength, height, speed, settled + 2.0 * period),
                                           static_cast<int>(std::lround(settled / period + 2.0)) * 200);
        return std::abs(response(ride, period, 2, [](const RideMoment& m) { return m.wheel_travel; })) /
               height;
    };
    constexpr double ratio = 0.45;
    const auto unit_at_wheel = [](double x_slope, double x_bend, double spring, double force) {
        return x_slope * x_slope * spring + x_bend * force;
    };
    for (const double wavelength : {5.0, 1.0}) {
        const double angular = 2.0 * std::numbers::pi * speed / wavelength;
        car.linkage = table(0.5, 0.1, ratio, 0.0);
        recorder.add({fmt::format("unit behind a straight linkage, waves of {:g} m: wheel travel by the road",
                                  wavelength),
                      {"", "linear equations with k x'² and c x'² at the wheel"},
                      Kind::computed_reference,
                      travel_gain(car, ratio * ratio * car.spring, ratio * ratio * car.damping, angular),
                      gain_of(wavelength, 2e-3),
                      relative(1e-3, "oil of 10 GPa gives way; road by points 5 mm apart"),
                      "-"});
        // x = 0.35 w + 0.5 w²: at rest x' k x = m_s g.
        constexpr double slope = 0.35;
        constexpr double bend = 0.5;
        car.linkage = table(0.4, 1e-3, slope, bend);
        double w = 0.1;
        for (int i = 0; i < 50; ++i) {
            const double x = slope * w + bend * w * w;
            const double leans = slope + 2.0 * bend * w;
            w -= (leans * car.spring * x - car.sprung * standard_gravity) /
                 unit_at_wheel(leans, 2.0 * bend, car.spring, car.spring * x);
        }
        const double leans = slope + 2.0 * bend * w;
        const double force = car.sprung * standard_gravity / leans;
        recorder.add(
            {fmt::format("unit behind a rising linkage, small waves of {:g} m: wheel travel by the road",
                         wavelength),
             {"", "linear equations about rest with k x'² + F x'' and c x'² at the wheel"},
             Kind::computed_reference,
             travel_gain(car, unit_at_wheel(leans, 2.0 * bend, car.spring, force),
                         leans * leans * car.damping, angular),
             gain_of(wavelength, 0.5e-3),
             relative(2e-3, "cubics between points of the linkage 1 mm apart have a curvature of their own"),
             "-"});
    }
    Event event;
    event.kind = EventKind::bump;
    event.height = 60e-3;
    event.length = 0.6;
    event.speed = 10.0;
    event.at = 1.0;
    event.duration = 0.6;
    const Ride ride = validation::ride(car, event, 60000);
    double by_unit = 0.0; // ∫ F dx on the unit and on the body, there and back alike [J]
    double by_body = 0.0; // ∫ m_s (z̈_s + g) dw
    for (std::size_t i = 1; i < ride.series.size(); ++i) {
        const RideMoment& from = ride.series[i - 1];
        const RideMoment& to = ride.series[i];
        by_unit += 0.5 * (from.force + to.force) * (to.travel - from.travel);
        by_body += 0.5 * car.sprung * (from.acceleration + to.acceleration + 2.0 * standard_gravity) *
                   (to.wheel_travel - from.wheel_travel);
    }
    recorder.add(
        {"unit behind a rising linkage, over a bump: work on the unit beside that on body and wheel",
         {"", "what moves the body, m_s (z̈_s + g) along the wheel's travel, by the series of the ride"},
         Kind::computed_reference,
         by_body,
         by_unit,
         relative(1e-5, "trapezia of 0.01 ms"),
         "J"});
}

} // namespace

void linkage_checks(Recorder& recorder) {
    linkages(recorder);
}

} // namespace valve::validation
