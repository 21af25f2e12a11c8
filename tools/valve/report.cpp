#include <valve/report/packed.hpp>
#include <valve/report/page.hpp>
#include <valve/report/page_fields.hpp>
#include <valve/report/search.hpp>
#include <valve/setup/drawer.hpp>
#include <valve/setup/event.hpp>
#include <valve/setup/goal.hpp>
#include <valve/study/advise.hpp>
#include <valve/study/goal.hpp>
#include <valve/study/search.hpp>

#include <fmt/format.h>

#include <memory>
#include <optional>
#include <stdexcept>
#include <string_view>

#include "advice_progress.hpp"
#include "command.hpp"
#include "inputs.hpp"
#include "messages.hpp"
#include "page_template.hpp"
#include "progress_line.hpp"
#include "search_places.hpp"
#include "whole_file.hpp"
#include "whole_number.hpp"

namespace program {

namespace {

struct Options : CommonOptions {
    std::vector<std::string> files;
    std::string output;
    PositionOptions position;
    MeasuredOptions measured;
    std::vector<std::string> events;
    std::string goal;
    std::string drawer;
    std::vector<std::string> valves;
    std::optional<std::size_t> most; // stacks to look at
};

/// `text` with every `what` replaced.
std::string replaced(std::string text, std::string_view what, std::string_view with) {
    for (std::size_t at = text.find(what); at != std::string::npos; at = text.find(what, at + with.size()))
        text.replace(at, what.size(), with);
    return text;
}

/// As text of an HTML element.
std::string escaped(std::string text) {
    text = replaced(std::move(text), "&", "&amp;");
    text = replaced(std::move(text), "<", "&lt;");
    return replaced(std::move(text), ">", "&gt;");
}

/// The template with `value` in place of `mark`, which it holds once.
std::string filled(std::string page, std::string_view mark, const std::string& value) {
    const std::size_t at = page.find(mark);
    if (at == std::string::npos) throw std::logic_error("the page's template lacks " + std::string(mark));
    return page.replace(at, mark.size(), value);
}

std::string html(const valve::report::Json& data) {
    std::string title = data.at("setups").at(0).at("inspect").at("title").get<std::string>();
    if (const std::size_t others = data.at("setups").size() - 1; others > 0)
        title += fmt::format(" and {} more", others);
    // No text of a file may end the element that holds the data.
    const std::string text =
        replaced(valve::report::packed(valve::report::drawn(data)).dump(), "<", "\\u003c");
    // The data first: they may hold the mark of the title, which stands before them.
    return filled(filled(std::string(page_template), "@@DATA@@", text), "@@TITLE@@", escaped(title));
}

void run(const Options& options, Outcome& outcome) {
    options.position.check_on(options.files, options);
    if (!options.json && options.output.empty())
        throw UsageError("report: -o OUT.html says where the page goes (or --json shows its data)");
    if (!options.output.empty() && page_template.empty())
        throw UsageError("report: this program was built without Node, which makes the page; install nodejs "
                         "and npm and build again. --json alone shows the data of the page");

    std::vector<valve::report::PageSource> sources;
    for (const std::string& file : options.files)
        sources.push_back({file, overrides_of(file, options)});
    std::optional<valve::study::Goal> goal;
    if (!options.goal.empty()) {
        goal = valve::study::resolve(valve::setup::Goal::load(options.goal));
        options.position.check_room(goal->requests(), options.files, options);
    }
    if (options.drawer.empty() && !options.valves.empty()) throw UsageError("--valve: belongs to --drawer");
    if (options.drawer.empty() && options.most) throw UsageError("--most: belongs to --drawer");
    if (!options.drawer.empty() && !goal) throw UsageError("--drawer: belongs to --goal");
    std::optional<valve::report::PageDrawer> drawer;
    if (!options.drawer.empty()) {
        drawer = {options.drawer, valve::setup::Drawer::load(options.drawer), {}, {}};
        drawer->options.places = places_of(options.valves);
        if (options.most) drawer->options.most = *options.most;
        check_numbers(drawer->options);
    }
    Inputs inputs{options.files};
    std::vector<valve::report::RideNames::Event> events;
    for (const std::string& file : options.events) {
        const valve::setup::EventFile event = valve::setup::EventFile::load(file);
        events.push_back({event.event.title, file, event.event, event.defaults});
        inputs.others.push_back(file);
        if (!event.profile.empty()) inputs.others.push_back(event.profile);
    }
    if (!options.output.empty()) {
        if (!options.measured.file.empty()) inputs.others.push_back(options.measured.file);
        if (drawer) inputs.others.push_back(drawer->path);
        if (goal) inputs.add(*goal);
        check_output("-o", options.output, files_read(inputs), {});
    }
    valve::damper::LiftCache lifts(options.follow);
    std::optional<InterruptWatch> interrupt; // of the search for changes: the page is written all the same
    if (goal) interrupt.emplace();
    AdviceProgress progress;
    valve::study::AdviseOptions advise;
    advise.stop = [&interrupt] { return interrupt && interrupt->asked(); };
    advise.progress = [&progress](valve::study::AdviseStage stage, std::size_t, std::size_t of) {
        progress.tell(stage, of);
    };
    ProgressLine line;
    if (drawer) {
        drawer->hooks.stop = advise.stop;
        drawer->hooks.progress = [&line](const valve::study::SearchProgress& told) {
            line.tell(valve::report::words(told), static_cast<int>(told.stage), told.done, told.most);
        };
    }
    ProgressLine part;
    const valve::report::Page page = valve::report::page(
        sources,
        {std::string("valve ") + VALVE_VERSION, options.position.travel, options.position.rod_into,
         options.position.top_speed, options.measured.run(), events, goal, advise, drawer,
         [&part](const std::string& what) { part.tell(what, 0, 0, 0); }},
        lifts);
    part.clear();
    progress.clear();
    line.clear();
    for (const std::string& warning : page.warnings)
        log_warning(warning);
    if (!page.is_complete) outcome.status = no_solution;
    if (!options.output.empty()) write_whole(options.output, html(page.data));
    if (options.json) {
        outcome.text = valve::report::written(page.data);
        return;
    }
    outcome.text = fmt::format("{}: written. Open it in a browser; it needs no network.\n", options.output);
    if (!page.is_complete) outcome.text += "Some of it has no solution: the page says what, and why.\n";
}

} // namespace

void add_report(CommandLine& app, Outcome& outcome) {
    const Command command =
        app.add_command("report", "One page to look at, to print and to build by; of several: compared");
    const auto options = std::make_shared<Options>();
    command.add_arguments("FILES", options->files, "Set-up file; of several, the first is the unit as found")
        .required()
        .option_text(" ");
    command.add_option("-o,--output", options->output, "Where the page goes").option_text("OUT.html");
    add_measured(command, options->measured);
    command
        .add_option("--event", options->events,
                    "What a wheel meets, as in `valve ride`, for plots of travel, load and harshness; may be "
                    "repeated")
        .option_text("EVENT.yaml");
    command
        .add_option("--goal", options->goal,
                    "Goal file, as in `valve advise`: what to change on the first set-up, and how near the "
                    "others come")
        .option_text("GOAL.yaml");
    command
        .add_option(
            "--drawer", options->drawer,
            "With --goal: what lies at hand, as in `valve search`; what to build from it for the first")
        .option_text("DRAWER.yaml");
    command
        .add_option("--valve", options->valves,
                    "With --drawer: whose stack may change, may be repeated; default: every one that moves a "
                    "line of the goal")
        .option_text("NAME");
    add_whole(command, "--most", options->most,
              fmt::format("With --drawer: stacks to look at, at most; default: {}",
                          valve::study::SearchOptions{}.most));
    add_position(command, options->position);
    add_common(command, *options, false);
    add_theory(command, *options);
    add_shape(command, *options);
    command.set_footer(
        "  valve report stacks/rally-fork.yaml stacks/rally-fork-softer-check.yaml -o fork.html\n"
        "  valve report stacks/rally-fork.yaml --goal stacks/goals/last-part.yaml -o fork.html\n"
        "The page holds drawings, plots, the build sheet and half a page for the rider, and works from\n"
        "disk. It prints on A4 and letter.",
        "A printed sheet is no approval: build by the maker's manual, then measure what was built.");
    command.callback([options, &outcome] { run(*options, outcome); });
}

} // namespace program
