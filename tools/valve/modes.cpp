#include <valve/report/modes.hpp>

#include <memory>

#include "command.hpp"
#include "valves.hpp"

namespace program {

namespace {

struct Options : CommonOptions {
    std::string file;
    std::string valve;
    std::optional<double> pressure; // [Pa]
};

void run(const Options& options, Outcome& outcome) {
    valve::stack::ModesOptions asked;
    if (options.pressure) {
        require_within("--pressure", {*options.pressure}, asked_pressures);
        asked.pressure = *options.pressure;
    }

    const valve::setup::Reading reading = read_and_warn(load(options.file, options));
    const std::optional<valve::flow::Oil> oil =
        reading.unit ? std::optional<valve::flow::Oil>(reading.unit->oil) : reading.oil;
    ByValve told(options.file, reading, options);
    for (const auto& [name, valve] : chosen_valves(reading, options.valve)) {
        const valve::study::ModesResult result =
            valve::study::modes_result(name, *valve, oil, options.follow.theory, asked);
        if (result.failed()) outcome.status = no_solution;
        if (told.is_text())
            told.add_text(valve::report::text(result));
        else
            told.add_object(valve::report::json(result));
    }
    outcome.text = told.written("modes");
}

} // namespace

void add_modes(CommandLine& app, Outcome& outcome) {
    const Command command = app.add_command("modes", "Natural frequencies of a stack, in air and in oil");
    const auto options = std::make_shared<Options>();
    command.add_option("FILE", options->file, "Set-up file").required().option_text(" ");
    command.add_option("--valve", options->valve, "One valve, as in base.refill; default: all in turn")
        .option_text("NAME");
    command
        .add_quantity("--pressure", options->pressure, "bar",
                      "A point of the lift curve [bar]; default: just lifted off the seat, unbent")
        .option_text("BAR");
    add_theory(command, *options);
    add_common(command, *options, true);
    command.set_footer(
        "  valve modes stacks/rally-fork.yaml --valve base.refill --pressure 1\n"
        "A family counts the circles at rest: family 0 without nodal diameters is the whole rim\n"
        "going up and down, one nodal diameter is a tilt, two a saddle. Oil makes them slower.",
        "The oil is taken at rest and unbounded; the piston's wall is left out, and near the seat it\n"
        "slows a stack further. Whether a mode is ever struck, no natural frequency tells.");
    command.callback([options, &outcome] { run(*options, outcome); });
}

} // namespace program
