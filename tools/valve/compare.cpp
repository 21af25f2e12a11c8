#include <valve/report/comparison.hpp>

#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>

#include <memory>

#include "command.hpp"

namespace program {

namespace {

struct Options : CommonOptions {
    std::vector<std::string> files;
    PositionOptions position;
    MeasuredOptions measured;
};

void run(const Options& options, Outcome& outcome) {
    if (options.files.size() < 2)
        throw UsageError("compare: give at least two files; the first is the reference");
    options.position.check();

    std::vector<valve::setup::Document> documents;
    for (const std::string& file : options.files)
        documents.push_back(load(file, options));
    valve::damper::LiftCache lifts(options.follow);
    const valve::report::Comparison comparison =
        valve::report::compare(documents,
                               {options.position.travel, options.position.rod_into,
                                options.position.top_speed, options.measured.run()},
                               lifts);
    for (const valve::report::Comparison::Entry& entry : comparison.setups)
        say_warnings(entry.reading);

    if (comparison.failed()) outcome.status = no_solution;
    if (options.json) {
        outcome.text = valve::report::written(valve::report::json(comparison));
    } else if (options.csv) {
        outcome.text = valve::report::csv(valve::report::points(comparison));
    } else {
        outcome.text = valve::report::text(comparison);
    }
}

} // namespace

void add_compare(CLI::App& app, Outcome& outcome) {
    CLI::App* command = app.add_subcommand(
        "compare", "What a change did: voids, refill, balance, force and support side by side");
    const auto options = std::make_shared<Options>();
    command->add_option("FILES", options->files, "Set-up files; the first is the reference")
        ->required()
        ->option_text(" ");
    add_measured(*command, options->measured);
    add_position(*command, options->position);
    add_common(*command, *options, true);
    add_theory(*command, *options);
    set_footer(
        *command,
        "  valve compare stacks/rally-fork.yaml stacks/rally-fork-softer-check.yaml\n"
        "Each sentence names what moved and the key it is due to; what stayed is listed after it.\n"
        "--set and --clicks apply to every file.",
        "Forces are those of one damper at steady speed. Change one thing at a time on the bench as well,\n"
        "and ride the first metres after it as a test ride, away from traffic.");
    command->callback([options, &outcome] { run(*options, outcome); });
}

} // namespace program
