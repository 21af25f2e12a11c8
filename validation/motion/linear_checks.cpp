#include <frame/numbers.hpp>
#include <motion/parts.hpp>
#include <motion/quarter_car.hpp>
#include <valve/damper/lift_cache.hpp>
#include <valve/motion/cycle.hpp>
#include <valve/setup/read.hpp>

#include <fmt/format.h>

#include <cmath>
#include <complex>
#include <cstddef>
#include <numbers>
#include <string>
#include <vector>

namespace valve::validation {

namespace {

using motion::RideMoment;

/// The demo fork without friction, its wheel a point.
setup::Reading smooth_fork() {
    return setup::read(
        setup::Document::load(VALVE_STACKS "/rally-fork.yaml", {{"support.friction", "0"},
                                                                {"support.breakaway", "0"},
                                                                {"reservoir.friction", "0"},
                                                                {"vehicle.tyre.radius", "0"}}));
}

/// A real set-up in small motion, on its wheel.
void small_waves(Recorder& recorder, const setup::Reading& reading, const damper::Model& model) {
    const damper::SupportLaw support(*reading.unit);
    const motion::MovingValves valves; // shut, whether they move or not
    const motion::RideUnit unit{model, valves, support};
    motion::RideOptions options;
    options.relative_error = 1e-8;
    options.pressure_error = 1e-3;
    constexpr double height = 5e-6; // [m]
    constexpr double speed = 10.0;
    for (const double frequency : {0.7, 2.0, 5.0, 12.0, 25.0}) {
        const double period = 1.0 / frequency;
        constexpr int periods = 2;
        const double settled = std::ceil(3.0 / period) * period;
        options.samples = static_cast<int>(std::lround(settled / period) + periods) * 200;
        const motion::Ride ride =
            motion::run_ride({&unit, 1}, *reading.vehicle, *reading.unit->support->load,
                             sine_road(speed * period, height, speed, settled + periods * period), options);
        const auto check = [&](const std::string& what, const auto& value, const char* unit_name) {
            const std::complex<double> got = response(ride, period, periods, value) / height;
            const std::string key = fmt::format("{} at {:g} Hz", what, frequency);
            const Source source{"", "the linear equations of vehicle, chambers and bleeds about rest, "
                                    "references/ride.py"};
            recorder.add({fmt::format("demo fork in small motion: {} by the road", key), source,
                          Kind::computed_reference, numbers("ride").at("fork", key), std::abs(got),
                          relative(5e-4, "the rebound stack opens a little; road by points 5 mm apart"),
                          unit_name});
            recorder.add({fmt::format("demo fork in small motion: phase of {}", key), source,
                          Kind::computed_reference, numbers("ride").at("fork", "phase of " + key),
                          std::arg(got), absolute(5e-4, "as its size"), "rad"});
        };
        check(
            "acceleration", [](const RideMoment& m) { return m.acceleration; }, "1/s2");
        check(
            "travel", [](const RideMoment& m) { return m.travel; }, "-");
        check(
            "load", [](const RideMoment& m) { return m.wheel_load; }, "N/m");
        if (frequency == 2.0)
            recorder.add({"demo fork in small motion: travel at rest",
                          {"", "coil, leg air and reservoir, references/ride.py"},
                          Kind::computed_reference,
                          numbers("ride").at("fork", "travel at rest"),
                          ride.series.front().travel,
                          relative(1e-7, "digits that are kept"),
                          "m"});
    }
}

/// The same cartridge on a dynamometer: what a jump of the rod's speed does.
void small_steps(Recorder& recorder, const damper::Model& model) {
    constexpr double stroke = 0.01e-3;
    motion::CycleOptions options;
    options.pressure_error = 1e-4;
    options.relative_error = 1e-10;
    options.samples = 400; // over 0.2 s
    const motion::Cycle cycle =
        run_cycle(model, {}, motion::Input::ramp(0.15 + 0.5 * stroke, stroke, 0.1e-3), options);
    const double rest = model.rod_area() * (model.reservoir().pressure(0.15, model.rod_area() * 0.15) -
                                            model.external_pressure(0.15, damper::RodInto::atmosphere));
    for (const double time : {0.002, 0.005, 0.01, 0.02, 0.05, 0.1})
        for (const bool out : {true, false}) {
            const std::string key = fmt::format("force after {:g} s {}", time, out ? "out" : "in");
            const auto sample = static_cast<std::size_t>(std::lround((time + (out ? 0.0 : 0.1)) / 0.5e-3));
            recorder.add({"demo fork, jumps of the rod's speed to 0.1 mm/s: ten times " + key,
                          {"", "matrix exponentials of the linear equations of chambers and bleeds, "
                               "references/ride.py"},
                          Kind::computed_reference,
                          numbers("ride").at("fork step", key),
                          10.0 * (cycle.series.at(sample).force - rest),
                          absolute(5e-3, "of 2.2 N: the rebound stack opens a little"),
                          "N"});
        }
}

} // namespace

void linear_checks(Recorder& recorder) {
    const setup::Reading reading = smooth_fork();
    damper::LiftCache cache;
    const damper::Model model = cache.model(*reading.unit);
    small_waves(recorder, reading, model);
    small_steps(recorder, model);
}

} // namespace valve::validation
