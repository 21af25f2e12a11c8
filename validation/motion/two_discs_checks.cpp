#include <frame/numbers.hpp>
#include <motion/parts.hpp>
#include <motion/two_discs.hpp>
#include <valve/study/cycle.hpp>

#include <fmt/format.h>

#include <cmath>
#include <cstddef>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace valve::validation {

namespace {

/// When a valve changes what holds it, since the beginning of the loop [s]; of each the last, none if never.
struct Times {
    std::optional<double> opens, shuts, meets_stop, leaves_stop;
    int openings = 0;
};

Times times_of(const motion::Cycle& cycle, std::size_t place, double stop) {
    const double begin = cycle.moments.front().time;
    Times times;
    bool was_open = false;
    bool was_stopped = false;
    for (const motion::Moment& moment : cycle.moments) {
        const motion::ValveMoment& valve = moment.valves.at(place);
        const bool open = valve.port_flow != 0.0;
        const bool stopped = valve.lift >= stop;
        if (open && !was_open) {
            times.opens = moment.time - begin;
            ++times.openings;
        }
        if (!open && was_open) times.shuts = moment.time - begin;
        if (stopped && !was_stopped) times.meets_stop = moment.time - begin;
        if (stopped) times.leaves_stop = moment.time - begin;
        was_open = open;
        was_stopped = stopped;
    }
    return times;
}

/// One length of the ports, second of two cycles.
void at_length(Recorder& recorder, int in_mm) {
    const TwoDiscs damper = two_discs(in_mm * 1e-3);
    const motion::Input input = two_discs_input();
    motion::CycleOptions options;
    options.samples = 80;
    options.lead_in = false; // from rest, as the reference
    options.least_loops = options.most_loops = 2;
    options.relative_error = 1e-10;
    options.pressure_error = 1e-3;
    const study::CycleFigures figures =
        study::figures_of(damper.model, input, damper::RodInto::atmosphere,
                          run_cycle(damper.model, damper.valves, input, options));

    const std::string group = fmt::format("two discs, ports of {} mm", in_mm);
    const Source source{"", "SciPy's Radau on the same equations, written apart from the library, "
                            "references/two_discs.py"};
    const auto check = [&](const std::string& what, double got, Tolerance tolerance, const char* unit) {
        recorder.add({fmt::format("{}: {}", group, what), source, Kind::computed_reference,
                      numbers("motion").at(group, what), got, std::move(tolerance), unit});
    };
    const auto within = [](double size) {
        return absolute(size, "steps of either side; a disc touches 0.1 nm beyond seat and stop");
    };
    const double force_error = 5e-3;   // [N], all of these some 3e-6 of the range
    const double pressure_error = 3.0; // [Pa]
    const double lift_error = 1e-9;    // [m]
    const double flow_error = 2e-9;    // [m³/s]
    const double time_error = 1e-7;    // [s]

    using damper::Place;
    const std::vector<std::pair<Place, std::string>> valves{{Place::piston_compression, "compression"},
                                                            {Place::piston_rebound, "rebound"}};
    constexpr std::size_t parts = 16;
    for (std::size_t k = 0; k < parts; ++k) {
        const motion::Moment& moment =
            figures.cycle.series.at(k * static_cast<std::size_t>(options.samples) / parts);
        const std::string at = fmt::format(" at {}/16", k);
        check("force" + at, moment.force, within(force_error), "N");
        check("p_C" + at, moment.p_C, within(pressure_error), "Pa");
        check("p_R" + at, moment.p_R, within(pressure_error), "Pa");
        for (const auto& [place, name] : valves) {
            const motion::ValveMoment& valve = moment.valves.at(static_cast<std::size_t>(place));
            if (!(valve.lift > 0.0)) continue;
            check(fmt::format("lift of {}{}", name, at), valve.lift, within(lift_error), "m");
            if (in_mm > 0)
                check(fmt::format("flow of {}{}", name, at), valve.port_flow, within(flow_error), "m3/s");
        }
    }
    check("largest force", figures.peak_force_compression, within(force_error), "N");
    check("smallest force", figures.peak_force_rebound, within(force_error), "N");
    check("highest p_C", figures.highest_p_C, within(pressure_error), "Pa");
    check("lowest p_C", figures.lowest_p_C, within(pressure_error), "Pa");
    check("highest p_R", figures.highest_p_R,
          in_mm > 0 ? within(pressure_error)
                    : absolute(100.0, "a peak of microseconds, of which the library looks at the steps"),
          "Pa");
    check("lowest p_R", figures.lowest_p_R, within(pressure_error), "Pa");
    check("work", figures.cycle.work, relative(1e-6, "seven digits, and steps of either side"), "J");
    for (std::size_t i = 0; i < valves.size(); ++i) {
        const Place place = valves.at(i).first;
        const std::string& name = valves.at(i).second;
        check("largest lift of " + name, figures.valves.at(i).largest_lift, within(lift_error), "m");
        const auto index = static_cast<std::size_t>(place);
        const Times times = times_of(figures.cycle, index, *damper.valves[place]->profile().stop());
        recorder.add({fmt::format("{}: {} opens so often", group, name), source, Kind::computed_reference,
                      1.0, static_cast<double>(times.openings), absolute(0.5, "a count"), ""});
        const auto time = [&](const char* what, const std::optional<double>& got) {
            check(fmt::format("{} {}", name, what), got.value_or(std::nan("")), within(time_error), "s");
        };
        time("opens", times.opens);
        time("shuts", times.shuts);
        if (place == Place::piston_compression) {
            time("meets its stop", times.meets_stop);
            time("leaves its stop", times.leaves_stop);
        }
    }
}

} // namespace

void two_discs_checks(Recorder& recorder) {
    for (const int in_mm : {0, 12, 30})
        at_length(recorder, in_mm);
}

} // namespace valve::validation
