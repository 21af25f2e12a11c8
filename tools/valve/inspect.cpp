#include <valve/report/inspection.hpp>

#include <memory>

#include "command.hpp"

namespace program {

void add_inspect(CommandLine& app, Outcome& outcome) {
    struct Options : CommonOptions {
        std::string file;
    };
    const Command command =
        app.add_command("inspect", "Is the file understood: stacks drawn, defaults used, warnings");
    const auto options = std::make_shared<Options>();
    command.add_option("FILE", options->file, "Set-up file").required().option_text(" ");
    add_common(command, *options, false);
    add_shape(command, *options);
    command.set_footer(
        "  valve inspect stacks/rally-fork.yaml\n"
        "Check here first that each stack is drawn as it lies on the bench: order, diameters, clamp,\n"
        "seat and float. Values the file leaves out are listed with what was taken for them.",
        "Measure shims and seats yourself: the drawing shows what the file says, not what is in the fork.");
    command.callback([options, &outcome] {
        const valve::setup::Document document = load(options->file, *options);
        valve::damper::LiftCache lifts(options->follow);
        const valve::study::Inspection inspection =
            valve::study::inspection(options->file, valve::setup::read(document), lifts);
        outcome.text = options->json ? valve::report::written(valve::report::json(inspection))
                                     : valve::report::text(inspection);
    });
}

} // namespace program
