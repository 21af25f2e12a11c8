#include <motion/parts.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/cycle.hpp>

#include <fmt/format.h>

#include <array>
#include <string>

namespace valve::validation {

void motion_checks(Recorder& recorder);

namespace {

/// Four moving discs in a closed cartridge, 100 mm at 4 Hz, third cycle.
void four_discs(Recorder& recorder) {
    const setup::Reading reading = setup::read(setup::Document::load(VALVE_FOUR_DISCS));
    damper::LiftCache cache;
    const damper::Model model = cache.model(*reading.unit);
    const motion::Input input = motion::Input::sine(0.15, 0.1, 4.0);
    motion::CycleOptions options;
    options.samples = 160;
    options.least_loops = options.most_loops = 3;
    options.relative_error = 1e-8;
    options.pressure_error = 1e-3;
    const study::CycleFigures figures =
        study::figures_of(model, input, damper::RodInto::atmosphere,
                          run_cycle(model, motion::moving_valves(model, cache), input, options));

    const Source source{"",
                        "two codes of the same equations, one with events on an integrator, one with a fixed "
                        "step of 0.2 µs, which agree to 7e-3 N, 1 Pa and 0.2 µs"};
    const auto check = [&](const std::string& what, double expected, double got, Tolerance tolerance,
                           const char* unit) {
        recorder.add({"four moving discs: " + what, source, Kind::computed_reference, expected, got,
                      std::move(tolerance), unit});
    };
    const auto digits = [](double size) {
        return absolute(size, "what the two codes differ by, and a printed digit");
    };

    const std::array<double, 16> forces{-27.531,  45.274,   90.174,  130.307, 146.667, 145.868,
                                        128.005,  45.821,   21.443,  -58.271, -85.644, -106.604,
                                        -114.997, -108.127, -88.487, -62.123};
    for (std::size_t k = 0; k < forces.size(); ++k)
        check(fmt::format("force at {}/16 of the cycle", k), forces.at(k),
              figures.cycle.series.at(10 * k).force, digits(0.01), "N");
    check("largest force", 148.1025, figures.peak_force_compression, digits(0.01), "N");
    check("smallest force", -115.0164, figures.peak_force_rebound, digits(0.01), "N");
    check("lowest p_C", 157441.0, figures.lowest_p_C, digits(5.0), "Pa");
    check("lowest p_R", 15281.0, figures.lowest_p_R, digits(2.0), "Pa");
    check("highest p_C", 343352.0, figures.highest_p_C,
          absolute(90.0, "83 Pa between the samples of the reference"), "Pa");
    check("highest p_R", 495962.0, figures.highest_p_R, digits(5.0), "Pa");
    check("largest void in R", 2.47902e-7, figures.largest_void_R, relative(1e-5, "six digits printed"),
          "m3");
    check("largest void in C", 0.0, figures.largest_void_C, digits(1e-20), "m3");
    check("dead travel into compression", 4.0260e-3, figures.dead_travel_compression.value_or(0.0),
          relative(7e-3, "a valve rings there: its last dip under 90 % goes to 89.3 %"), "m");
    check("dead travel into rebound", 0.3197e-3, figures.dead_travel_rebound.value_or(0.0),
          relative(5e-3, "four digits printed, and as above"), "m");
    const study::ValveInCycle& refill = figures.valves.at(1);
    check("refill shut after the reversal", 3.1424e-3, refill.shut_after.value_or(0.0), digits(1e-6), "s");
    check("refill's largest lift", 1.13915e-3, refill.largest_lift, digits(2e-8), "m");
    check("oil that ran back through the refill", 1.9567e-8, refill.run_back.value_or(0.0),
          relative(2e-3, "trapezia"), "m3");
    check("part of it under the disc", 2.76e-10, refill.run_back_curtain.value_or(0.0),
          relative(0.02, "three digits, trapezia"), "m3");
    check("lift of base.compression", 0.178635e-3, figures.valves.at(0).largest_lift, digits(2e-8), "m");
    check("lift of piston.compression, its stop", 0.4e-3, figures.valves.at(2).largest_lift, digits(1e-9),
          "m");
    check("lift of piston.rebound", 0.447558e-3, figures.valves.at(3).largest_lift, digits(2e-8), "m");
    check("work of a cycle", 21.06239, figures.energy, relative(2e-5, "what the two codes differ by"), "J");
    const std::array<double, 4> energies{1.32439, 0.04394, 8.60688, 9.72770};
    for (std::size_t i = 0; i < energies.size(); ++i)
        check(fmt::format("energy of {}", damper::name(figures.valves.at(i).place)), energies.at(i),
              figures.valves.at(i).energy, digits(1e-4), "J");
    check("energy of the base's bleeds", 0.31811, figures.base_bleeds, digits(2e-5), "J");
    check("energy of the piston's bleeds and leak", 1.04138, figures.piston_bleeds, digits(2e-5), "J");
    recorder.add({"four moving discs: balance of oil", no_source(), Kind::common_practice, 1e-10,
                  figures.cycle.balance.mass, at_most("what is not lost stays"), ""});
    recorder.add({"four moving discs: balance of energy", no_source(), Kind::common_practice, 1e-6,
                  figures.cycle.balance.energy, at_most("with the enthalpy of the mixture"), ""});
}

} // namespace

void motion_checks(Recorder& recorder) {
    integrator_checks(recorder);
    monotube_checks(recorder);
    four_discs(recorder);
    two_discs_checks(recorder);
    ride_checks(recorder);
    road_checks(recorder);
    linkage_checks(recorder);
    friction_checks(recorder);
    bounce_checks(recorder);
    heavy_piston_checks(recorder);
    linear_checks(recorder);
    strut_checks(recorder);
}

} // namespace valve::validation
