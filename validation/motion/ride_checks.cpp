#include <motion/parts.hpp>
#include <motion/quarter_car.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <complex>
#include <numbers>

namespace valve::validation {

namespace {

using motion::Event;
using motion::EventKind;
using motion::Ride;
using motion::RideMoment;

/// The car of the roughness index at 80 km/h: |ż_s − ż_u| by the slope of a road of one wavelength.
void golden_car(Recorder& recorder) {
    constexpr double mass = 300.0; // of our choice: the car is given by unit of it
    const QuarterCar car{mass, 0.15 * mass, 63.3 * mass, 6.0 * mass, 653.0 * mass};
    constexpr double speed = 80.0 / 3.6;
    struct Row {
        double wavelength, gain;
    };
    for (const Row row : {Row{2.0, 1.533540}, Row{5.0, 1.169666}, Row{15.0, 1.527311}, Row{50.0, 0.136594}}) {
        const double period = row.wavelength / speed;
        const int periods = std::max(2, static_cast<int>(std::lround(0.5 / period)));
        // The slowest mode, 1.24 Hz and a third of critical, is down to 1e-5 after 4.5 s.
        const double settled = std::ceil(4.5 / period) * period;
        const double height = 2e-3 * std::min(row.wavelength, 5.0); // small: no lift-off
        const Ride ride =
            validation::ride(car, sine_road(row.wavelength, height, speed, settled + periods * period),
                             static_cast<int>(std::lround((settled + periods * period) / period)) * 100);
        const double slope = 2.0 * std::numbers::pi * height / row.wavelength * speed; // of the road [m/s]
        const double gain =
            std::abs(response(ride, period, periods, [](const RideMoment& moment) { return moment.speed; })) /
            slope;
        // Unit slope of the road is a climb of `speed`; the published gain is by it.
        recorder.add({fmt::format("golden car, wavelength {:g} m: speed of the unit by the road's climb",
                                  row.wavelength),
                      {"sayers_1986", "p. 36, parameters; gain of the linear equations, exact"},
                      Kind::computed_reference,
                      row.gain,
                      gain,
                      relative(2e-3, "oil of 10 GPa gives way; road by points 5 mm apart"),
                      "-"});
    }
}

/// A quarter car over one half-sine bump, a tenth as high as the reference's, so that the tyre keeps
/// touching.
void half_sine(Recorder& recorder) {
    const QuarterCar car{300.0, 60.0, 16000.0, 1000.0, 190000.0};
    Event event;
    event.kind = EventKind::bump;
    event.height = 5e-3;
    event.length = 0.5;
    event.speed = 10.0;
    event.at = 1.0;
    event.duration = 1.0;
    const Ride ride = validation::ride(car, event, 20000);
    double body = 0.0;
    double body_at = 0.0;
    double wheel = 0.0;
    double up = 0.0;
    double down = 0.0;
    double closed = 0.0;
    double opened = 0.0;
    for (const RideMoment& moment : ride.series) {
        if (moment.sprung > body) {
            body = moment.sprung;
            body_at = moment.time - 0.1;
        }
        wheel = std::max(wheel, moment.unsprung - ride.series.front().unsprung);
        up = std::max(up, moment.acceleration);
        down = std::min(down, moment.acceleration);
        closed = std::max(closed, moment.travel - ride.series.front().travel);
        opened = std::max(opened, ride.series.front().travel - moment.travel);
    }
    const Source source{
        "",
        "linear quarter car over a half-sine of 50 mm, 0.5 m, 10 m/s: its equations by matrix exponentials"};
    const auto check = [&](const char* what, double expected, double got, const char* unit) {
        recorder.add({fmt::format("half-sine bump: {}", what), source, Kind::computed_reference, expected,
                      got, relative(2e-3, "oil of 10 GPa gives way, samples 0.05 ms apart"), unit});
    };
    constexpr double tenth = 10.0;
    check("body's largest rise", 10.515e-3, tenth * body, "m");
    check("its time", 0.0893, body_at, "s");
    check("wheel's largest rise", 57.629e-3, tenth * wheel, "m");
    check("body's acceleration, upwards", 8.1221, tenth * up, "m/s2");
    check("body's acceleration, downwards", -9.3124, tenth * down, "m/s2");
    check("compression", 53.109e-3, tenth * closed, "m");
    check("extension", 44.523e-3, tenth * opened, "m");
    recorder.add({"half-sine bump: balance of energy", no_source(), Kind::common_practice, 1e-6,
                  ride.balance.energy, at_most("of what is dissipated"), ""});
}

} // namespace

void ride_checks(Recorder& recorder) {
    golden_car(recorder);
    half_sine(recorder);
}

} // namespace valve::validation
