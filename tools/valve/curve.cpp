#include <valve/damper/lift_cache.hpp>
#include <valve/report/curve.hpp>
#include <valve/report/reading.hpp>

#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>

#include <memory>

#include "command.hpp"

namespace program {

namespace {

struct Options : CommonOptions {
    std::string file;
    PositionOptions position;
    std::vector<double> speeds; // [m/s]
};

void run(const Options& options, Outcome& outcome) {
    require_finite("--speeds", options.speeds);
    options.position.check();

    valve::report::CurveResult result;
    result.file = options.file;
    result.reading = read_and_warn(load(options.file, options));
    const valve::damper::SetUp& unit = valve::report::unit_of(options.file, result.reading);
    result.options.speeds = options.speeds;
    result.options.travel = options.position.travel_in_metres();
    result.options.rod_into = options.position.rod_into;
    result.options.top_speed = options.position.top_speed;
    valve::damper::LiftCache lifts(options.follow);
    result.curve = valve::damper::steady_curve(lifts.model(unit), result.options);

    if (result.failed()) outcome.status = no_solution;
    if (options.json) {
        outcome.text = valve::report::written(valve::report::json(result));
    } else if (options.csv) {
        outcome.text = valve::report::csv(valve::report::json(result).at("points"));
    } else {
        outcome.text = valve::report::text(result);
    }
}

} // namespace

void add_curve(CLI::App& app, Outcome& outcome) {
    CLI::App* command = app.add_subcommand("curve", "Force and every pressure against rod speed, both ways");
    const auto options = std::make_shared<Options>();
    command->add_option("FILE", options->file, "Set-up file")->required()->option_text(" ");
    command
        ->add_option("--speeds", options->speeds,
                     "Rod speeds [m/s], rebound negative: --speeds=-2,-1,1,2; default: 0.02 to 4 both ways")
        ->delimiter(',')
        ->allow_extra_args(false)
        ->option_text("M/S,…");
    add_position(*command, options->position);
    add_common(*command, *options, true);
    add_theory(*command, *options);
    set_footer(
        *command,
        "  valve curve stacks/rally-fork.yaml --speeds=-2,-1,-0.1,0.1,1,2 --clicks piston.rebound=6\n"
        "Read the first lines first: from which rod speed a chamber runs empty. Then the refill deficit\n"
        "on rebound and the balance margin on compression; the forces come last.",
        "Forces are those of one damper at steady speed. A prediction is no test ride: go up in small "
        "steps.\n"
        "Release gas and spring load as the maker's manual says before you open a damper.");
    command->callback([options, &outcome] { run(*options, outcome); });
}

} // namespace program
