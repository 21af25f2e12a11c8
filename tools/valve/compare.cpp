#include <valve/core/text.hpp>
#include <valve/report/comparison.hpp>
#include <valve/report/figure_table.hpp>

#include <algorithm>
#include <exception>
#include <memory>

#include "command.hpp"
#include "rides.hpp"
#include "sweep.hpp"

namespace program {

namespace {

using valve::study::FigureRequest;

struct Options : CommonOptions {
    std::vector<std::string> files;
    PositionOptions position;
    MeasuredOptions measured;
    bool unchanged = false;
    bool table = false;
    std::vector<std::string> figures;
    std::vector<double> speeds;
    std::string sort;
    std::vector<std::string> sweeps; // several make a grid
    std::vector<double> frequencies;
    RideOptions rides;

    valve::study::EvaluateOptions at() const {
        valve::study::EvaluateOptions options{position.travel, position.rod_into, position.top_speed};
        options.ride_valves = rides.how();
        return options;
    }
};

std::vector<valve::setup::Document> documents_of(const Options& options) {
    std::vector<valve::setup::Document> documents;
    for (const std::string& file : options.files)
        documents.push_back(load(file, options));
    return documents;
}

/// The rows of a table, and what their settings are of.
struct Entries {
    std::vector<valve::study::TableEntry> list;
    std::string sweep;
};

/// Every file, or every setting of a sweep in every file.
Entries entries_of(const Options& options) {
    Entries entries;
    for (const std::string& file : options.files) {
        if (options.sweeps.empty()) {
            entries.list.push_back({file, {}, load(file, options)});
            continue;
        }
        const Variants variants = variants_of(file, options, options.sweeps, {});
        const valve::study::DocumentAt document = documents_of(file, options, variants);
        entries.sweep = variants.sweep.name;
        std::exception_ptr first_fault;
        bool any = false;
        for (std::size_t i = 0; i < variants.overrides.size(); ++i) {
            entries.list.push_back({file, variants.sweep.settings[i]});
            try {
                const valve::setup::Document at = document(i);
                valve::setup::read(at);
                entries.list.back().document = at;
                any = true;
            } catch (const valve::InputError& error) {
                entries.list.back().error = error.what();
                if (!first_fault) first_fault = std::current_exception();
            }
        }
        if (!any) std::rethrow_exception(first_fault);
    }
    return entries;
}

/// What `option` writes; an error names it.
std::vector<FigureRequest> requests(const char* option, const std::string& text,
                                    const std::vector<double>& speeds,
                                    const std::vector<valve::study::RideEvent>& events) {
    try {
        std::vector<FigureRequest> requests = valve::study::requests_of(text, speeds, events);
        for (const FigureRequest& request : requests)
            if (request.speed) require_within(option, {*request.speed}, asked_speeds);
        return requests;
    } catch (const valve::InputError& error) {
        throw UsageError(std::string(option) + ": " + error.what());
    }
}

/// Throws UsageError for speeds or a way of riding that no column is asked at.
void require_used(const Options& options, const std::vector<std::string>& figures,
                  const std::vector<FigureRequest>& columns) {
    const bool names_none = std::any_of(figures.begin(), figures.end(), [&](const std::string& figure) {
        return figure.find('@') == std::string::npos &&
               valve::study::kind_named(valve::trimmed(figure)).speed == valve::study::Asked::always;
    });
    if (!options.speeds.empty() && !names_none)
        throw UsageError("--speeds: every figure asked for names its own speed, or has none");
    options.rides.require_ridden(columns);
}

void run_table(const Options& options, Outcome& outcome) {
    const std::vector<double> speeds =
        options.speeds.empty() ? std::vector<double>{-3.0, -1.0, -0.3, 0.3, 1.0, 3.0} : options.speeds;
    const std::vector<std::string> figures =
        options.figures.empty() ? std::vector<std::string>{"void_onset_rebound", "damping_force"}
                                : options.figures;
    require_within("--speeds", speeds, asked_speeds);
    const std::vector<valve::study::RideEvent> events = options.rides.load();
    std::vector<FigureRequest> columns;
    for (const std::string& figure : figures)
        for (const FigureRequest& request : requests("--figures", figure, speeds, events))
            columns.push_back(request);

    const bool largest_first = options.sort.starts_with("-");
    std::size_t sorted = 0;
    if (!options.sort.empty()) {
        const FigureRequest by =
            requests("--sort", options.sort.substr(largest_first ? 1 : 0), speeds, events).front();
        sorted = static_cast<std::size_t>(std::find(columns.begin(), columns.end(), by) - columns.begin());
        if (sorted == columns.size()) columns.push_back(by);
    }
    require_used(options, figures, columns);
    options.position.check_room(columns, options.files, options);
    valve::damper::LiftCache lifts(options.follow);
    const Entries entries = entries_of(options);
    valve::study::FigureTable table =
        valve::study::figure_table(entries.list, std::move(columns), options.at(), lifts);
    table.sweep = entries.sweep;
    if (!options.sort.empty()) valve::study::sort(table, sorted, largest_first);
    if (table.failed()) outcome.status = no_solution;
    outcome.text = options.json  ? valve::report::written(valve::report::json(table))
                   : options.csv ? valve::report::csv(valve::report::points(table))
                                 : valve::report::text(table);
}

void run_comparison(const Options& options, Outcome& outcome) {
    if (options.files.size() < 2)
        throw UsageError("compare: give at least two files; the first is the reference");
    for (const double frequency : options.frequencies)
        require_positive("--frequencies", frequency, valve::study::quickest_cycle, "Hz");
    if (!options.frequencies.empty()) options.position.check_room(options.files, options);
    const std::vector<valve::setup::Document> documents = documents_of(options);
    valve::damper::LiftCache lifts(options.follow);
    const valve::study::Comparison comparison = valve::study::compare(
        documents, {options.at(), options.measured.run(), options.frequencies, options.rides.load()}, lifts);
    for (const valve::study::Comparison::Entry& entry : comparison.setups)
        say_warnings(entry.reading);
    if (comparison.failed()) outcome.status = no_solution;
    outcome.text = options.json  ? valve::report::written(valve::report::json(comparison))
                   : options.csv ? valve::report::csv(valve::report::points(comparison))
                                 : valve::report::text(comparison, options.unchanged,
                                                       {"--frequencies asks for cycles, --event for rides.",
                                                        "--event asks for rides."});
}

void run(const Options& options, Outcome& outcome) {
    options.position.check_on(options.files, options);
    if (options.table) {
        if (!options.measured.file.empty()) throw UsageError("--measured: does not go with --table");
        if (!options.measured.columns.empty()) throw UsageError("--columns: belongs to --measured");
        if (!options.frequencies.empty())
            throw UsageError(
                "--frequencies: does not go with --table; --figures dead_travel_rebound@4Hz does");
        if (options.unchanged) throw UsageError("--unchanged: does not go with --table");
        run_table(options, outcome);
        return;
    }
    for (const auto& [name, given] :
         {std::pair{"--figures", !options.figures.empty()}, std::pair{"--speeds", !options.speeds.empty()},
          std::pair{"--sort", !options.sort.empty()}, std::pair{"--sweep", !options.sweeps.empty()}})
        if (given) throw UsageError(std::string(name) + ": belongs to --table");
    options.rides.require_ridden({});
    run_comparison(options, outcome);
}

} // namespace

void add_compare(CommandLine& app, Outcome& outcome) {
    const Command command = app.add_command(
        "compare", "What a change did: voids, refill, balance, force and support side by side");
    const auto options = std::make_shared<Options>();
    command.add_arguments("FILES", options->files, "Set-up files; the first is the reference")
        .required()
        .option_text(" ");
    command.add_flag("--unchanged", options->unchanged, "List the figures that stayed as well");
    command.add_flag("--table", options->table, "One row a set-up with chosen figures, for many");
    command
        .add_list(
            "--figures", options->figures,
            "With --table: figures by name; after @ a rod speed, part of the travel (90%), frequency (4Hz) "
            "or event")
        .option_text("NAME[@PLACE],…");
    command
        .add_quantities("--speeds", options->speeds, "m/s",
                        "With --table: for figures that name none [m/s]; default: ±0.3, ±1, ±3")
        .option_text("M/S,…");
    command
        .add_option("--sort", options->sort,
                    "With --table: by this figure, the smallest first; --sort=-NAME: the largest")
        .option_text("NAME[@PLACE]");
    command
        .add_option("--sweep", options->sweeps,
                    "With --table: one row a setting of a key or an adjuster; repeated, every setting "
                    "of one with every setting of the other")
        .option_text("NAME=V,V,…");
    command
        .add_quantities("--frequencies", options->frequencies, "Hz",
                        "Dynamometer cycles to put each through, for dead travel, voids and peak forces [Hz]")
        .option_text("F,F,…");
    add_rides(command, options->rides, "An event to ride, for figures of it; may be repeated");
    add_measured(command, options->measured);
    add_position(command, options->position);
    add_common(command, *options, true);
    add_theory(command, *options);
    add_shape(command, *options);
    command.set_footer(
        "  valve compare stacks/rally-fork.yaml stacks/rally-fork-softer-check.yaml\n"
        "  valve compare --table stacks/rally-fork*.yaml --figures damping_force@-1,support_force@90%\n"
        "  valve compare stacks/rally-fork.yaml stacks/rally-fork-both.yaml --event "
        "stacks/events/ledge.yaml\n"
        "Three sentences say what moved most and the change behind it; the rest follows.\n"
        "--set and --clicks apply to every file.",
        "Forces are those of one damper at steady speed, rides of one wheel. Change one thing at a time on\n"
        "the bench as well, and ride the first metres after it as a test ride, away from traffic.");
    command.callback([options, &outcome] { run(*options, outcome); });
}

} // namespace program
