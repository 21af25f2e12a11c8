#include <valve/report/lift.hpp>

#include <array>
#include <memory>
#include <vector>

#include "command.hpp"
#include "valves.hpp"

namespace program {

namespace {

struct Options : CommonOptions {
    std::string file;
    std::string valve;
    std::vector<double> pressures; // [Pa]
    bool other_waves = false;
    bool sections = false;
};

/// Rows of the readable table where no pressures are asked for [bar].
constexpr std::array<double, 12> table_pressures{0.1, 0.2, 0.5, 1.0,  1.5,  2.0,
                                                 3.0, 5.0, 7.5, 10.0, 15.0, 20.0};

void run(const Options& options, Outcome& outcome) {
    std::vector<double> pressures = options.pressures;
    require_within("--pressures", pressures, asked_pressures);
    const bool table = !options.json && !options.csv;
    if (options.sections && !table)
        throw UsageError("--sections: draws, and so does not go with --json or --csv");
    if (pressures.empty() && table)
        for (const double pressure : table_pressures)
            pressures.push_back(pressure * 1e5);

    const valve::setup::Reading reading = read_and_warn(load(options.file, options));
    valve::damper::LiftCache lifts(options.follow);
    ByValve told(options.file, reading, options);
    for (const auto& [name, valve] : chosen_valves(reading, options.valve)) {
        valve::study::LiftResult result = valve::study::lift_result(name, *valve, pressures, lifts);
        if (options.pressures.empty()) // round values that only the round shape reaches
            std::erase_if(result.rows, [](const auto& row) { return !row.state && row.round_lift; });
        if (options.other_waves) valve::study::add_wave_branches(result, lifts);
        if (options.sections && table) valve::study::add_shape(result, lifts);
        if (result.failed()) outcome.status = no_solution;
        if (table)
            told.add_text(valve::report::text(result));
        else
            told.add_object(valve::report::json(result));
    }
    outcome.text = told.written("points");
}

} // namespace

void add_lift(CommandLine& app, Outcome& outcome) {
    const Command command = app.add_command("lift", "One stack: lift, contact and stress against pressure");
    const auto options = std::make_shared<Options>();
    command.add_option("FILE", options->file, "Set-up file").required().option_text(" ");
    command.add_option("--valve", options->valve, "The valve, such as base.refill; default: all in turn")
        .option_text("NAME");
    command
        .add_quantities(
            "--pressures", options->pressures, "bar",
            "Pressures on the face shim [bar]: --pressures 0.5,1,2; default: the whole curve (a table "
            "shows round values)")
        .option_text("BAR,…");
    command
        .add_flag("--other-waves", options->other_waves,
                  "At the last pressure in waves: would a wave more or less take less energy?")
        .option_text(" ");
    command
        .add_flag("--sections", options->sections,
                  "Draw the last pressure at which the stack is not round: at mid-port and mid-land, or "
                  "crest and trough, and the lift round the ring")
        .option_text(" ");
    add_common(command, *options, true);
    add_theory(command, *options);
    add_shape(command, *options);
    command.set_footer(
        "  valve lift stacks/rally-fork.yaml --valve base.refill --pressures 0.5,1,2\n"
        "  valve lift stacks/rally-fork.yaml --valve piston.compression --pressures 10,15 --round\n"
        "  valve lift stacks/rally-fork.yaml --valve piston.rebound --pressures 30 --sections --other-waves\n"
        "Opening is told three ways: crack (the seat lets go), 0.02 mm of lift, and the pressure at\n"
        "which a floated plate leaves its hub. The last is what a bench check of a plate feels.",
        "The pressure is static, on the zone under the face shim. A peak stress is only as good as the\n"
        "strip's data: a shim that bends past its fatigue limit breaks, and pieces jam valves.");
    command.callback([options, &outcome] { run(*options, outcome); });
}

} // namespace program
