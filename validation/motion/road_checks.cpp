#include <frame/numbers.hpp>
#include <motion/parts.hpp>
#include <motion/quarter_car.hpp>

#include <fmt/format.h>

#include <cmath>
#include <complex>
#include <cstddef>
#include <numbers>
#include <string>
#include <vector>

namespace valve::validation {

namespace {

using motion::Event;
using motion::EventKind;
using motion::Ride;
using motion::RideMoment;

/// One period of a road, by the sum of its waves, after a stretch of the same: r.m.s. over the period. Equal
/// steps of 1/L in wave number, trapezia; small, so that the tyre keeps touching.
void random_road(Recorder& recorder) {
    constexpr double low = 0.011; // [cycles/m]
    constexpr double high = 2.83;
    constexpr int steps_to_low = 2;
    constexpr double period = steps_to_low / low; // [m]
    constexpr double small = 0.2;
    struct Row {
        const char* name;
        QuarterCar car;
        double density, speed; // of the class [m³], [m/s]
    };
    for (const Row& row : {Row{"1", {300.0, 60.0, 16000.0, 1000.0, 190000.0}, 256e-6, 20.0},
                           Row{"2", {250.0, 45.0, 20000.0, 1500.0, 180000.0}, 64e-6, 25.0},
                           Row{"3", {120.0, 18.0, 15000.0, 900.0, 180000.0}, 256e-6, 25.0}}) {
        Event event;
        event.kind = EventKind::profile;
        event.speed = row.speed;
        event.at = 0.0;
        constexpr double spacing = 5e-3; // [m]
        const auto in_period = static_cast<std::size_t>(std::lround(period / spacing));
        constexpr double step = period / 36364.0; // of which there are `in_period`
        static_assert(step > 0.9999 * spacing && step < 1.0001 * spacing);
        std::vector<double> heights(in_period, 0.0);
        const auto last = static_cast<std::size_t>(high * period);
        for (std::size_t k = steps_to_low; k <= last; ++k) {
            const double n = static_cast<double>(k) / period;
            const double end = k == steps_to_low || k == last ? 0.5 : 1.0;
            const double amplitude =
                small * std::sqrt(2.0 * row.density * (0.1 / n) * (0.1 / n) * end / period);
            const double phase = 2.4 * static_cast<double>(k * k % 1000); // any will do
            for (std::size_t i = 0; i < in_period; ++i) // whole turns are left out, for the digits
                heights[i] +=
                    amplitude * std::sin(2.0 * std::numbers::pi * static_cast<double>(k * i % in_period) /
                                             static_cast<double>(in_period) +
                                         phase);
        }
        const double run_in = std::ceil(6.0 * row.speed / step) * step; // e^-8 of the slowest mode's start
        event.duration = (run_in + period) / row.speed;
        const auto points = static_cast<std::size_t>((run_in + period) / step) + 2;
        for (std::size_t i = 0; i < points; ++i) {
            event.distance.push_back(static_cast<double>(i) * step);
            event.heights.push_back(heights[i % in_period]);
        }
        const Ride ride = validation::ride(row.car, event, static_cast<int>(event.duration * 2000.0));
        const auto rms = [&](const auto& value) {
            const double begin = event.duration - period / row.speed;
            double sum = 0.0;
            double mean = 0.0;
            double count = 0.0;
            for (const RideMoment& moment : ride.series) {
                if (moment.time < begin) continue;
                sum += value(moment) * value(moment);
                mean += value(moment);
                count += 1.0;
            }
            mean /= count;
            return std::sqrt(sum / count - mean * mean) / small;
        };
        const auto check = [&](const std::string& what, double got, const char* unit) {
            recorder.add(
                {fmt::format("random road, car {}: r.m.s. of {}", row.name, what),
                 {"iso_8608", "density of the class from 0.011 to 2.83 cycles/m; response of the linear "
                              "equations by quadrature, references/ride.py"},
                 Kind::computed_reference,
                 numbers("ride").at("random road", fmt::format("{}, car {}, band", what, row.name)),
                 got,
                 relative(1e-3, "waves in steps of 0.0055 cycles/m, road by points 5 mm apart"),
                 unit});
        };
        check("acceleration", rms([](const RideMoment& m) { return m.acceleration; }), "m/s2");
        check("travel", rms([](const RideMoment& m) { return m.travel; }), "m");
        check("tyre", rms([](const RideMoment& m) { return m.wheel_load; }), "N");
    }
}

/// A vehicle on a wavy road, its unit held by friction, so that the tyre alone is spring and damper.
void base_excitation(Recorder& recorder) {
    constexpr double mass = 1200.0;
    constexpr double rate = 400e3;
    constexpr double wavelength = 6.0;
    constexpr double height = 0.05; // of the road, half its range [m]
    QuarterCar car{mass - 10.0, 10.0, 1e5, 1000.0, rate};
    car.tyre_damping = std::sqrt(rate * mass); // half of critical
    car.friction = car.breakaway = 1e6;
    struct Row {
        double kmh, scale, published, computed;
    };
    for (const Row row : {Row{20.0, 1.0, 0.0550, 0.055048150}, Row{100.0, 0.1, 0.042, 0.042465996}}) {
        const double speed = row.kmh / 3.6;
        const double period = wavelength / speed;
        const double settled = std::ceil(2.5 / period) * period; // e^-22 of the start
        const Ride ride =
            validation::ride(car, sine_road(wavelength, row.scale * height, speed, settled + period),
                             static_cast<int>(std::lround((settled + period) / period)) * 400);
        const double got = height *
                           std::abs(response(ride, period, 1, [](const RideMoment& m) { return m.sprung; })) /
                           (row.scale * height);
        recorder.add({fmt::format("vehicle on a wavy road at {:g} km/h: amplitude", row.kmh),
                      {"rao_2010", "worked example, vehicle moving over a rough road"},
                      Kind::published,
                      row.published,
                      got,
                      relative(0.012, "as many digits as are printed"),
                      "m"});
        recorder.add({fmt::format("vehicle on a wavy road at {:g} km/h: amplitude, by the formula", row.kmh),
                      {"rao_2010", "displacement transmissibility, worked out to nine digits"},
                      Kind::computed_reference,
                      row.computed,
                      got,
                      relative(1e-5, "road by points 5 mm apart"),
                      "m"});
    }
}

} // namespace

void road_checks(Recorder& recorder) {
    random_road(recorder);
    base_excitation(recorder);
}

} // namespace valve::validation
