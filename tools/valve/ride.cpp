#include <valve/report/ride.hpp>
#include <valve/setup/event.hpp>
#include <valve/study/reading.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <mutex>
#include <stop_token>
#include <utility>

#include "command.hpp"
#include "messages.hpp"
#include "progress_line.hpp"
#include "rides.hpp"

namespace program {

namespace {

struct Options : CommonOptions {
    std::vector<std::string> files;
    std::vector<std::string> events;
    std::string other_leg;
    std::string valves;
    std::string accuracy;
};

/// How far the rides have come together, and whether to stop.
class Progress {
public:
    Progress(std::size_t rides, const std::vector<valve::motion::Event>& events)
        : m_times(rides), m_events(events) {}

    /// Called by several threads.
    void tell(std::size_t ride, double time) {
        const std::lock_guard<std::mutex> hold(m_hold);
        if (m_interrupt.asked()) m_stop.request_stop();
        m_times[ride] = time;
        double done = 0.0;
        double all = 0.0;
        for (std::size_t i = 0; i < m_times.size(); ++i) {
            done += m_times[i];
            all += m_events[i % m_events.size()].duration;
        }
        constexpr double thousand = 1e3; // whole milliseconds
        m_line.tell(fmt::format("{:.2f} s of {:.2f} s ridden", done, all), 0,
                    static_cast<std::size_t>(thousand * done), static_cast<std::size_t>(thousand * all));
    }

    std::stop_token stop() const { return m_stop.get_token(); }

private:
    std::vector<double> m_times;
    const std::vector<valve::motion::Event>& m_events;
    std::mutex m_hold;
    ProgressLine m_line;
    InterruptWatch m_interrupt;
    std::stop_source m_stop;
};

/// How many moments `--csv` and `--json` tell.
std::string rows_of_series() {
    constexpr double milli = 1e-3;
    using namespace valve::motion;
    return fmt::format(
        "Rows of a series (--csv, --json): {} or, of more than {:g} s, one each {:g} ms and {} at most;\n"
        "between them those moments at which figures of the table are reached.",
        least_samples + 1, least_samples * longest_between_samples, longest_between_samples / milli,
        most_samples + 1);
}

valve::setup::Reading unit_in(const std::string& file, const CommonOptions& common) {
    valve::setup::Reading reading = read_and_warn(load(file, common));
    if (!reading.unit)
        throw valve::InputError(file + ": a ride needs a whole damper, and this file has one valve alone");
    return reading;
}

void run(const Options& options, Outcome& outcome) {
    valve::study::RideQuestion question;
    valve::report::RideNames names;
    if (!options.other_leg.empty() && options.files.size() > 1)
        throw UsageError("--other-leg: belongs to one FILE, whose other leg it is");
    for (const std::string& file : options.files) {
        valve::setup::Reading reading = unit_in(file, options);
        valve::study::require_wheel(file, reading);
        names.sides.push_back({reading.title, file, options.other_leg, reading.defaults});
        question.sides.push_back({*std::move(reading.unit), std::nullopt, *reading.vehicle});
    }
    if (!options.other_leg.empty()) {
        const valve::damper::SetUp& one = question.sides.front().setup;
        if (!one.support || one.support->legs != 2)
            throw UsageError("--other-leg: " + options.files.front() +
                             " is a unit of one leg (support.legs), which has no other");
        question.sides.front().other_leg = *unit_in(options.other_leg, options).unit;
    }
    for (const std::string& file : options.events) {
        const valve::setup::EventFile event = valve::setup::EventFile::load(file);
        for (const std::string& warning : event.warnings)
            log_warning(warning);
        for (const valve::study::RideSide& side : question.sides)
            valve::study::require_ground(file, event.event, side.vehicle);
        names.events.push_back({event.event.title, file, event.event, event.defaults});
        question.events.push_back(event.event);
    }
    question.valves = valves_in_time(options.valves);
    if (options.accuracy == name(valve::motion::Accuracy::quick))
        question.accuracy = valve::motion::Accuracy::quick;
    Progress progress(question.sides.size() * question.events.size(), question.events);
    question.progress = [&](std::size_t ride, double time) { progress.tell(ride, time); };
    question.stop = progress.stop();

    valve::damper::LiftCache cache(options.follow);
    const std::vector<valve::study::RideFigures> rides = valve::study::ride_study(question, cache);
    if (std::any_of(rides.begin(), rides.end(), [](const auto& ride) { return ride.error; }))
        outcome.status = no_solution;
    if (options.json) {
        valve::report::Json object = valve::report::json(rides, names);
        valve::report::refuse_non_finite(object);
        outcome.text = valve::report::written(object);
    } else if (options.csv) {
        outcome.text = valve::report::series_csv(rides, names);
    } else {
        outcome.text = valve::report::text(rides, names);
    }
}

} // namespace

void add_ride(CommandLine& app, Outcome& outcome) {
    const Command command =
        app.add_command("ride", "The bike over the ground in time: travel, grip, harshness");
    const auto options = std::make_shared<Options>();
    command.add_arguments("FILE", options->files, "Set-up files, side by side").required().option_text("…");
    command
        .add_option("--event", options->events, "What happens to the wheel; several times for several events")
        .required()
        .option_text("EVENT.yaml");
    command
        .add_option("--other-leg", options->other_leg,
                    "Set-up of the other leg, where the two legs of a fork differ")
        .option_text("FILE");
    add_valves_in_time(command, options->valves);
    command.add_choice("--accuracy", {"fine", "quick"}, options->accuracy,
                       "fine: energy closes to some 1e-6; quick: peaks within 0.5 %, in half to a seventh of "
                       "the steps; default: fine");
    add_theory(command, *options);
    add_shape(command, *options);
    add_common(command, *options, true);
    command.set_footer(
        "  valve ride stacks/rally-fork.yaml --event stacks/events/stones.yaml\n"
        "  valve ride stacks/rally-fork.yaml stacks/rally-fork-softer-check.yaml \\\n"
        "    --event stacks/events/stones.yaml --event stacks/events/drop.yaml\n"
        "One wheel at a time: the mass it carries, its own, tyre, springs, friction that sticks, and\n"
        "the whole damper as in `valve cycle`. An event's file says what the wheel meets; keep your own\n"
        "test track:\n"
        "  format: 1\n"
        "  title: Row of stones\n"
        "  event: {kind: bumps, height: 60 mm, length: 0.6 m, pitch: 2 m, count: 8, speed: 12 m/s,\n"
        "          duration: 2.4 s}\n"
        "kind: square_edge (height), bump (height, length), bumps (and pitch, count), landing (height;\n"
        "slope), braking (as bumps, and load_transfer), rough (class or roughness), profile (file, two\n"
        "columns).\n" +
            rows_of_series(),
        "A model of one wheel on a straight line: no pitch, no rider who moves, no chain. Before a test\n"
        "ride follow the maker's manual, begin slowly and away from others.");
    command.callback([options, &outcome] { run(*options, outcome); });
}

} // namespace program
