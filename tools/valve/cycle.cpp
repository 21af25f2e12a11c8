#include <valve/report/cycle.hpp>
#include <valve/setup/measured_run.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cstdio>
#include <memory>
#include <mutex>
#include <numbers>
#include <utility>

#include "command.hpp"
#include "messages.hpp"
#include "progress_line.hpp"
#include "rides.hpp"
#include "sweep.hpp"

namespace program {

namespace {

using valve::motion::Input;

struct Options : CommonOptions {
    std::string file;
    PositionOptions position;
    std::optional<double> stroke; // [m]
    std::vector<double> frequencies;
    std::optional<double> peak_speed; // [m/s]
    std::string wave;                 // none given: sine
    std::string trace;                // a file
    std::string columns;
    std::vector<std::string> sweeps; // several make a grid
    std::string valves;
};

/// How far a long run has come, on standard error.
class Progress {
public:
    explicit Progress(const std::vector<Input>& inputs) : m_inputs(inputs) {}
    ~Progress() {
        if (m_told) std::fputs("\r\033[K", stderr);
    }
    Progress(const Progress&) = delete;
    Progress& operator=(const Progress&) = delete;

    void tell(std::size_t input, double time) {
        const std::lock_guard<std::mutex> hold(m_hold);
        const int loop = 1 + static_cast<int>(time / m_inputs[input].loop_duration());
        std::fputs(fmt::format("\r\033[K{:.3g} m/s: cycle {}", m_inputs[input].peak_speed(), loop).c_str(),
                   stderr);
        std::fflush(stderr);
        m_told = true;
    }

private:
    const std::vector<Input>& m_inputs;
    std::mutex m_hold;
    bool m_told = false;
};

/// The motion of a measured run, its middle at `middle` [m] where that is given: dynamometers count from the
/// middle of the stroke, a damper from full extension.
Input measured_motion(const std::string& path, valve::setup::Trace trace, std::optional<double> middle,
                      double travel) {
    const auto [least, greatest] = std::minmax_element(trace.travels.begin(), trace.travels.end());
    const double low = *least;
    const double high = *greatest;
    if (high - low < Input::least_stroke)
        throw UsageError(fmt::format("{}: the rod stands still at {:.4g} mm; a run needs one that moves",
                                     path, low * 1e3));
    const double shift = middle ? *middle - 0.5 * (low + high) : 0.0;
    if (low + shift < 0.0 || high + shift > travel)
        throw UsageError(fmt::format(
            "{}: a motion from {:.4g} to {:.4g} mm leaves the damper's travel, 0 at full extension to {:.4g} "
            "mm: {}",
            path, (low + shift) * 1e3, (high + shift) * 1e3, travel * 1e3,
            middle ? "ask for another --travel"
                   : "--travel puts its middle where it ran, -NAME in --columns turns its sign"));
    for (double& x : trace.travels)
        x += shift;
    return Input::trace(std::move(trace.times), std::move(trace.travels));
}

std::vector<Input> inputs_of(const Options& options, const valve::damper::SetUp& setup) {
    const double travel = setup.cartridge.travel;
    if (options.trace.empty() && !options.columns.empty()) throw UsageError("--columns: belongs to --trace");
    if (!options.trace.empty()) {
        for (const auto& [name, given] : {std::pair{"--stroke", options.stroke.has_value()},
                                          std::pair{"--frequency", !options.frequencies.empty()},
                                          std::pair{"--peak-speed", options.peak_speed.has_value()},
                                          std::pair{"--wave", !options.wave.empty()}})
            if (given)
                throw UsageError(
                    fmt::format("{}: does not go with --trace, by which the rod moves as measured", name));
        try {
            return {measured_motion(options.trace, valve::setup::read_trace(options.trace, options.columns),
                                    options.position.travel, travel)};
        } catch (const valve::setup::ColumnsError& error) {
            throw of_columns(error);
        }
    }
    const double stroke = options.stroke.value_or(valve::study::usual_stroke(setup));
    const double middle = options.position.travel.value_or(0.5 * travel);
    require_positive("--stroke", stroke * 1e3, travel * 1e3, "mm, the damper's travel");
    if (middle - 0.5 * stroke < -1e-12 || middle + 0.5 * stroke > travel * (1.0 + 1e-12))
        throw UsageError(fmt::format("{}: a motion from {:.4g} to {:.4g} mm leaves the damper's travel, 0 to "
                                     "{:.4g} mm: ask for less stroke or another middle",
                                     options.position.travel ? "--travel" : "--stroke",
                                     1e3 * (middle - 0.5 * stroke), 1e3 * (middle + 0.5 * stroke),
                                     1e3 * travel));
    for (const double frequency : options.frequencies)
        require_positive("--frequency", frequency, valve::study::quickest_cycle, "Hz");
    if (options.peak_speed)
        require_positive("--peak-speed", *options.peak_speed, valve::damper::fastest_rod, "m/s");
    if (options.peak_speed && !options.frequencies.empty())
        throw UsageError("--peak-speed and --frequency say the same twice: give one of them");

    if (options.wave == "ramp") {
        if (!options.frequencies.empty())
            throw UsageError("--wave ramp: give its speed, --peak-speed, in place of a frequency");
        return {Input::ramp(middle, stroke, options.peak_speed.value_or(valve::study::usual_ramp_speed))};
    }
    const bool sine = options.wave != "triangle";
    std::vector<double> frequencies = options.frequencies;
    if (options.peak_speed)
        frequencies = {sine ? *options.peak_speed / (std::numbers::pi * stroke)
                            : *options.peak_speed / (2.0 * stroke)};
    if (frequencies.empty())
        frequencies.assign(valve::study::usual_frequencies.begin(), valve::study::usual_frequencies.end());
    std::vector<Input> inputs;
    for (const double frequency : frequencies)
        inputs.push_back(sine ? Input::sine(middle, stroke, frequency)
                              : Input::triangle(middle, stroke, frequency));
    return inputs;
}

/// Refuses what moves the rod faster than can be asked for.
void require_rod_speeds(const Options& options, const std::vector<Input>& inputs) {
    for (const Input& input : inputs) {
        if (input.peak_speed() <= valve::damper::fastest_rod) continue;
        if (!options.trace.empty())
            throw valve::InputError(
                fmt::format("{}: between its lines the rod moves at up to {:.4g} m/s; expected no more than "
                            "{:g} m/s",
                            options.trace, input.peak_speed(), valve::damper::fastest_rod));
        throw UsageError(
            fmt::format("--frequency: {:.4g} Hz over a stroke of {:.4g} mm move the rod at up to "
                        "{:.4g} m/s; expected no more than {:g} m/s",
                        input.frequency().value_or(0.0), 1e3 * input.stroke(), input.peak_speed(),
                        valve::damper::fastest_rod));
    }
}

valve::setup::Reading damper_in(const std::string& file, const CommonOptions& common) {
    valve::setup::Reading reading = read_and_warn(load(file, common));
    if (!reading.unit)
        throw valve::InputError(file + ": a cycle needs a whole damper, and this file has one valve alone");
    return reading;
}

valve::study::CycleQuestion question_of(const Options& options, const valve::damper::SetUp& setup) {
    valve::study::CycleQuestion question;
    question.inputs = inputs_of(options, setup);
    require_rod_speeds(options, question.inputs);
    question.rod_into = options.position.rod_into;
    question.valves = valves_in_time(options.valves);
    return question;
}

/// What a table of moments has no row for.
void say_failed(const valve::study::CycleStudy& study) {
    for (const valve::study::CycleFigures& cycle : study.cycles)
        if (cycle.error)
            log_error(fmt::format("cycle: {:.4g} m/s: no result: {}", cycle.peak_speed, *cycle.error));
}

void run_sweep(const Options& options, Outcome& outcome) {
    const Variants variants = variants_of(options.file, options, options.sweeps, {});
    valve::damper::LiftCache cache(options.follow);
    const valve::study::CycleFamily family = valve::study::cycle_family(
        variants.sweep, documents_of(options.file, options, variants),
        [&](const valve::damper::SetUp& unit) { return question_of(options, unit); }, cache);
    say_left_out(family.sweep.name, family.left_out);
    std::vector<std::string> warnings;
    for (const valve::study::CycleMember& member : family.members)
        warnings.insert(warnings.end(), member.warnings.begin(), member.warnings.end());
    say_once(warnings);
    if (family.failed()) outcome.status = no_solution;
    outcome.text = options.json  ? valve::report::written(valve::report::json(family))
                   : options.csv ? valve::report::csv(valve::report::rows(family))
                                 : valve::report::text(family);
}

void run(const Options& options, Outcome& outcome) {
    options.position.check_on({options.file}, options);
    if (!options.sweeps.empty()) return run_sweep(options, outcome);
    const valve::setup::Reading reading = damper_in(options.file, options);
    valve::study::CycleQuestion question = question_of(options, *reading.unit);
    question.finds_swings = true;
    Progress progress(question.inputs);
    if (to_a_terminal())
        question.progress = [&](std::size_t input, double time) { progress.tell(input, time); };

    valve::damper::LiftCache cache(options.follow);
    const valve::study::CycleStudy study = valve::study::cycle_study(*reading.unit, cache, question);
    if (study.failed()) outcome.status = no_solution;
    if (options.json) {
        valve::report::Json object;
        object["title"] = reading.title;
        object["file"] = options.file;
        object.update(valve::report::json(study));
        valve::report::refuse_non_finite(object);
        outcome.text = valve::report::written(object);
    } else if (options.csv) {
        say_failed(study);
        outcome.text = valve::report::series_csv(study);
    } else {
        outcome.text = fmt::format("{}\n{}\n\n{}", reading.title, options.file, valve::report::text(study));
    }
}

} // namespace

void add_cycle(CommandLine& app, Outcome& outcome) {
    const Command command =
        app.add_command("cycle", "A dynamometer cycle in time: loops, dead travel, voids");
    const auto options = std::make_shared<Options>();
    command.add_option("FILE", options->file, "Set-up file").required().option_text(" ");
    command
        .add_quantity("--stroke", options->stroke, "mm",
                      fmt::format("From end to end [mm]; default: {:.0f}, or {:.0f} % of the travel",
                                  1e3 * valve::study::most_usual_stroke,
                                  1e2 * valve::study::usual_share_of_travel))
        .option_text("MM");
    command
        .add_quantities("--frequency,--frequencies", options->frequencies, "Hz",
                        fmt::format("How often, one or several [Hz]; default: {}",
                                    fmt::join(valve::study::usual_frequencies, ",")))
        .option_text("HZ,…");
    command
        .add_quantity("--peak-speed", options->peak_speed, "m/s",
                      fmt::format("Largest rod speed, in place of a frequency [m/s]; of a ramp: its speed, "
                                  "default {:g}",
                                  valve::study::usual_ramp_speed))
        .option_text("M/S");
    command.add_choice("--wave", {"sine", "triangle", "ramp"}, options->wave,
                       "sine (default), triangle, or ramp: in at constant speed, out and in again, once");
    command
        .add_option(
            "--trace", options->trace,
            "A measured motion of the rod, run through once; --travel says where its middle is, else it "
            "counts from full extension")
        .option_text("RUN.csv");
    command
        .add_option("--columns", options->columns,
                    "Which columns of the trace hold what, with units; a minus turns the sign; default: "
                    "time=time,travel=travel, the units in the head")
        .option_text("time=NAME[UNIT],travel=NAME[UNIT]");
    add_valves_in_time(command, options->valves);
    command
        .add_option("--sweep", options->sweeps,
                    "Dead travel at several settings of an adjuster or of any key, as in --sweep "
                    "valves.base.refill.float.rate=0.8,4,20; given twice: every pair of settings")
        .option_text("NAME=V,V,…");
    add_position(command, options->position, false);
    add_theory(command, *options);
    add_shape(command, *options);
    add_common(command, *options, true);
    command.set_footer(
        "  valve cycle stacks/rally-fork.yaml --stroke 60 --frequencies 1,4,12\n"
        "  valve cycle stacks/rally-fork.yaml --peak-speed 3 --round\n"
        "  valve cycle stacks/rally-fork.yaml --wave ramp --peak-speed 0.5 --json\n"
        "Dead travel is what the rod moves after a reversal before the damping is back: the check has not\n"
        "shut, a void has to close, seals have to slide. Cycles are run until the next would be the same.",
        "The oil gives way and holds air as the file says; the rod moves as asked, whatever force that\n"
        "takes. Heat changes nothing while it runs.");
    command.callback([options, &outcome] { run(*options, outcome); });
}

} // namespace program
