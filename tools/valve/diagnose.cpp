#include <valve/report/diagnosis.hpp>

#include <memory>

#include "command.hpp"
#include "rides.hpp"

namespace program {

namespace {

struct Options : CommonOptions {
    std::string file;
    PositionOptions position;
    RideOptions rides;
};

/// Several rules try the same stacks: so many are kept, as far as memory is to go.
constexpr std::size_t stacks_of_changes = 200;

void run(const Options& options, Outcome& outcome) {
    options.position.check_on({options.file}, options);
    options.rides.require_ridden({});
    valve::damper::LiftCache lifts(options.follow,
                                   std::make_shared<valve::stack::Solutions>(stacks_of_changes));
    valve::study::EvaluateOptions at{options.position.travel, options.position.rod_into,
                                     options.position.top_speed};
    at.ride_valves = options.rides.how();
    const valve::study::Diagnosis diagnosis =
        valve::study::diagnose(load(options.file, options), at, lifts, options.rides.load());
    say_warnings(diagnosis.reading);
    if (!diagnosis.unsolved.empty()) outcome.status = no_solution;
    outcome.text = options.json  ? valve::report::written(valve::report::json(diagnosis))
                   : options.csv ? valve::report::csv(valve::report::points(diagnosis))
                                 : valve::report::text(diagnosis);
}

} // namespace

void add_diagnose(CommandLine& app, Outcome& outcome) {
    const Command command = app.add_command(
        "diagnose", "What holds a damper back, in the order a rider notices, and what mends each");
    const auto options = std::make_shared<Options>();
    command.add_option("FILE", options->file, "Set-up file").required().option_text(" ");
    add_rides(command, options->rides, "An event to ride, for bottoming and topping out; may be repeated");
    add_position(command, options->position);
    add_common(command, *options, true);
    add_theory(command, *options);
    add_shape(command, *options);
    command.set_footer(
        "  valve diagnose stacks/rally-fork.yaml\n"
        "  valve diagnose stacks/rally-fork.yaml --event stacks/events/drop.yaml\n"
        "Voids, the check plate, the mid-valve against the base valve, friction, choked ports, shims,\n"
        "spring (sag with and without the rider) and oil in the leg are held to rules of the trade;\n"
        "with --event bottoming and topping out, too. Beside each broken one stands the single change\n"
        "that mends it and moves the rest least.",
        "The rules are common practice and no measure of safety. Change one thing at a time, release\n"
        "gas and springs as the maker's manual says, and test-ride each change with care.");
    command.callback([options, &outcome] { run(*options, outcome); });
}

} // namespace program
