#include <motion/parts.hpp>
#include <motion/quarter_car.hpp>
#include <valve/core/constants.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <optional>
#include <string>
#include <vector>

namespace valve::validation {

namespace {

using motion::Event;
using motion::EventKind;
using motion::Ride;
using motion::RideMoment;

constexpr double hard = 5e6;   // rate of a tyre that hardly gives [N/m]
constexpr double tight = 1e-8; // error of a step

Event landing(double height, double duration) {
    Event event;
    event.kind = EventKind::landing;
    event.height = height;
    event.duration = duration;
    return event;
}

/// A mass let go on a spring with dry friction, from full extension.
void free_decay(Recorder& recorder) {
    QuarterCar car{5.0, 2.0, 500.0, 0.0, hard};
    car.tyre_damping = 1500.0; // a quarter of critical for the wheel alone
    car.friction = car.breakaway = 2.5;
    const Ride ride = validation::ride(car, landing(0.0, 4.0), 40000, tight);
    std::vector<double> turns;
    double heading = 1.0;
    for (std::size_t i = 1; i < ride.series.size(); ++i) {
        if (ride.series[i].speed * heading >= 0.0) continue;
        turns.push_back(ride.series[i - 1].travel);
        heading = -heading;
    }
    const Source source{"den_hartog_1985", "free vibration with dry friction: 4 F/k a cycle"};
    const double fall = 4.0 * car.friction / car.spring;
    for (std::size_t i = 0; i + 2 < std::min<std::size_t>(turns.size(), 6); ++i)
        recorder.add({fmt::format("dry friction, free: turning point {} less the next but one", i + 1),
                      source, Kind::memory, i % 2 == 0 ? fall : -fall, turns[i] - turns[i + 2],
                      relative(5e-4, "the wheel shakes as friction turns; oil has to be moved"), "m"});
    // It stops at the first turn from which the spring, about its centre, cannot move it.
    const double centre = 0.5 * (turns.at(2) + 0.5 * (turns.at(1) + turns.at(3)));
    double off = turns.at(2) - centre;
    while (std::abs(off) > car.friction / car.spring)
        off = -(off - std::copysign(2.0 * car.friction / car.spring, off));
    recorder.add(
        {"dry friction, free: where it stops, less the centre", source, Kind::memory, off,
         ride.series.back().travel - centre,
         absolute(0.05e-3, "1 % of the band in which it may stop; the wheel shakes as friction turns"), "m"});
    recorder.add({"dry friction, free: it has stopped",
                  {"", "nothing moves where the spring cannot"},
                  Kind::computed_reference,
                  0.0,
                  ride.series.back().speed,
                  absolute(1e-12, "held exactly"),
                  "m/s"});
}

/// The same on a road of sine waves: relative travel, by the force that the road's acceleration is worth.
void forced(Recorder& recorder) {
    constexpr double natural = 10.0; // ω_n [rad/s]
    constexpr double push = 15.0;    // P = m ω² Y [N]
    struct Row {
        double ratio, share, expected; // ω/ω_n, F/P, x k/P
    };
    for (const Row row : {Row{2.0, 0.2, 0.317979734}, Row{1.5, 0.3, 0.721110255}}) {
        QuarterCar car{5.0, 2.0, 5.0 * natural * natural, 0.0, hard};
        car.tyre_damping = 1500.0;
        car.friction = car.breakaway = row.share * push;
        const double angular = row.ratio * natural;
        const double period = 2.0 * std::numbers::pi / angular;
        constexpr double wavelength = 3.0;
        constexpr int periods = 60;
        const double height = push / (car.sprung * angular * angular);
        const Ride ride = validation::ride(
            car, sine_road(wavelength, height, wavelength / period, periods * period), periods * 400, tight);
        double low = 1.0;
        double high = 0.0;
        for (const RideMoment& moment : ride.series)
            if (moment.time > (periods - 5) * period) {
                low = std::min(low, moment.travel);
                high = std::max(high, moment.travel);
            }
        recorder.add(
            {fmt::format("dry friction, forced at {:g} of the natural frequency, F/P = {:g}: x k/P",
                         row.ratio, row.share),
             {"den_hartog_1985", "motion without stops, √(V² − (F/P)² U²)"},
             Kind::memory,
             row.expected,
             0.5 * (high - low) * car.spring / push,
             relative(2e-4, "a wheel on a tyre 10,000 times as stiff moves a little, the start dies out"),
             "-"});
    }
}

/// A unit that sticks at full extension lands on its tyre: friction has to give the body up to
/// m_s (g + √(g² + ω² v²)).
void stick(Recorder& recorder) {
    QuarterCar car{120.0, 15.0, 2000.0, 0.0, 180e3};
    const double mass = car.sprung + car.unsprung;
    const double speed = std::sqrt(2.0 * standard_gravity * 0.05);
    const double most =
        car.sprung * (standard_gravity + std::hypot(standard_gravity, std::sqrt(car.tyre / mass) * speed));
    const Source source{"", "the largest force of a spring under a falling mass, worked out by hand"};
    car.friction = 0.5 * most;
    for (const double share : {0.999, 1.001}) {
        car.breakaway = share * most;
        const double stuck = validation::ride(car, landing(0.05, 0.09), 1000).metrics.stuck_share;
        const std::string name =
            fmt::format("unit that sticks up to {:g} of what a landing asks: time that it sticks", share);
        // The force of the gas on the rod, 1.5 N, is a quarter of a per mille.
        recorder.add({name, source, Kind::computed_reference, share < 1.0 ? 0.99 : 1.0, stuck,
                      share < 1.0 ? at_most("it slides") : at_least("it never slides"), "-"});
    }
}

/// When the tyre's load begins or ends, by straight lines between samples [s].
std::vector<double> contacts(const Ride& ride) {
    std::vector<double> times;
    for (std::size_t i = 2; i + 1 < ride.series.size(); ++i) {
        const RideMoment& from = ride.series[i - 1];
        const RideMoment& to = ride.series[i];
        if (from.wheel_load > 0.0 && to.wheel_load == 0.0) { // on from the two before
            const RideMoment& before = ride.series[i - 2];
            const double slope = (from.wheel_load - before.wheel_load) / (from.time - before.time);
            times.push_back(from.time - from.wheel_load / slope);
        } else if (from.wheel_load == 0.0 && to.wheel_load > 0.0) { // back from the two after
            const RideMoment& after = ride.series[i + 1];
            const double slope = (after.wheel_load - to.wheel_load) / (after.time - to.time);
            times.push_back(to.time - to.wheel_load / slope);
        }
    }
    return times;
}

/// A rigid bike bounces on its tyre: contact, flight, contact.
void bounce(Recorder& recorder) {
    QuarterCar car{120.0, 15.0, 2000.0, 0.0, 180e3};
    car.friction = car.breakaway = 1e6;
    const double mass = car.sprung + car.unsprung;
    constexpr double height = 0.05;
    constexpr double g = standard_gravity;
    const double speed = std::sqrt(2.0 * g * height);
    const double angular = std::sqrt(car.tyre / mass);
    const double contact = 2.0 / angular * (std::numbers::pi - std::atan(speed * angular / g));
    const double flight = 2.0 * speed / g;
    constexpr int samples = 50000;
    const Source source{"", "a mass on a spring that only pushes, and free fall, worked out by hand"};
    const auto check = [&](const std::string& name, double expected, double got, Tolerance tolerance,
                           const char* unit) {
        recorder.add({"bounce on a tyre" + name, source, Kind::computed_reference, expected, got,
                      std::move(tolerance), unit});
    };
    const auto by_samples = [] { return relative(2e-5, "steps within 1e-6 m/s of 1 m/s"); };
    {
        const Ride ride = validation::ride(car, landing(height, 0.5), samples, tight);
        const std::vector<double> times = contacts(ride);
        check(" without loss: it leaves the ground", contact, times.at(0), by_samples(), "s");
        check(" without loss: it is back", contact + flight, times.at(1), by_samples(), "s");
        check(" without loss: it leaves again", 2.0 * contact + flight, times.at(2), by_samples(), "s");
        double top = 0.0;
        for (const RideMoment& moment : ride.series)
            if (moment.time > times.at(0) && moment.time < times.at(1)) top = std::max(top, moment.unsprung);
        check(" without loss: as high as it fell", height, top, by_samples(), "m");
        check(" without loss: energy lost in the tyre", 0.0, ride.losses.tyre,
              absolute(1e-5 * mass * g * height, "errors of the steps"), "J");
    }
    // With damping the tyre lets go, still bent, as k δ + c δ' = 0.
    car.tyre_damping = 400.0;
    const double decay = 0.5 * car.tyre_damping / mass;
    const double damped = std::sqrt(angular * angular - decay * decay);
    const double sag = g / (angular * angular);
    const auto bent = [&](double t) { // δ = sag − e^{−decay t} (sag cos + B sin)
        const double b = (decay * sag - speed) / damped;
        const double e = std::exp(-decay * t);
        const double c = std::cos(damped * t);
        const double s = std::sin(damped * t);
        const double value = sag - e * (sag * c + b * s);
        const double rate = e * (decay * (sag * c + b * s) - damped * (b * c - sag * s));
        return std::pair{value, rate};
    };
    double low = 0.5 * contact;
    double high = contact;
    for (int i = 0; i < 100; ++i) {
        const double middle = 0.5 * (low + high);
        const auto [value, rate] = bent(middle);
        (car.tyre * value + car.tyre_damping * rate > 0.0 ? low : high) = middle;
    }
    const auto [left, rate] = bent(low);
    const double up = -rate; // from −left up to 0 and down again [m/s]
    const double back = low + (up + std::sqrt(up * up - 2.0 * g * left)) / g;
    const double lost = 0.5 * mass * (speed * speed - up * up) + mass * g * left;
    const Ride ride = validation::ride(car, landing(height, 0.5 * (low + back)), samples, tight);
    const Ride longer = validation::ride(car, landing(height, 0.4), samples, tight);
    const std::vector<double> times = contacts(longer);
    const auto met = std::find_if(longer.series.begin(), longer.series.end(), [&](const RideMoment& moment) {
        return moment.time > times.at(0) && moment.wheel_load > 0.0; // at once more than the spring's
    });
    check(" that damps: it leaves the ground", low, times.at(0), by_samples(), "s");
    check(" that damps: it is back", back, met->time, absolute(1e-5, "samples 0.008 ms apart"), "s");
    check(" that damps: energy lost in the tyre, as it lets go too", lost, ride.losses.tyre,
          relative(2e-5, "steps within 1e-6 m/s of 1 m/s"), "J");
}

} // namespace

void friction_checks(Recorder& recorder) {
    free_decay(recorder);
    forced(recorder);
    stick(recorder);
    bounce(recorder);
}

} // namespace valve::validation
