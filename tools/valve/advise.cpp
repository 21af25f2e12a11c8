#include <valve/core/error.hpp>
#include <valve/core/text.hpp>
#include <valve/report/advise.hpp>
#include <valve/setup/parameter.hpp>
#include <valve/setup/rider_words.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <filesystem>
#include <memory>

#include "advice_progress.hpp"
#include "command.hpp"
#include "inputs.hpp"
#include "messages.hpp"
#include "progress_line.hpp"
#include "rides.hpp"
#include "whole_file.hpp"
#include "whole_number.hpp"

namespace program {

namespace {

using valve::setup::RiderWords;
using valve::study::Advice;
using valve::study::Suggestion;

struct Options : CommonOptions {
    std::string file;
    std::string goal;
    std::string said;
    std::string words;
    PositionOptions position;
    std::size_t changes = 10;
    std::size_t pairs = 5;
    std::vector<std::string> only;
    std::optional<std::size_t> take; // none given: the first
    std::string output;
    RideOptions rides;
};

/// The suggestion under the number that the table gives it. Throws SolveError where there is none at all.
const Suggestion& taken(const Advice& advice, std::size_t number) {
    const std::size_t singles = advice.changes.size();
    if (advice.met_today())
        throw valve::SolveError("--output: nothing is written: as it is the set-up meets the goal");
    if (advice.is_interrupted && singles + advice.pairs.size() == 0)
        throw valve::SolveError("--output: nothing is written: interrupted before a change was found");
    if (singles + advice.pairs.size() == 0)
        throw valve::SolveError(fmt::format("--output: nothing is written: no change reaches {:.0f} % of the "
                                            "goal{}",
                                            valve::study::least_reached * 100.0,
                                            advice.nearest ? "; the nearest is told without -o" : ""));
    if (number >= 1 && number <= singles) return advice.changes[number - 1];
    if (number > singles && number <= singles + advice.pairs.size())
        return advice.pairs[number - 1 - singles];
    throw UsageError(
        fmt::format("--take: there is no change {}; 1 to {}", number, singles + advice.pairs.size()));
}

/// A variant of the file given, as it would stand at `output`.
std::string variant_of(const Options& options, const Advice& advice) {
    const Suggestion& suggestion = taken(advice, options.take.value_or(1));
    return variant_file(options.file, options.output, suggestion.document.value(),
                        fmt::format("{}, {}", advice.reading.title, advice.goal.title));
}

/// "; the table has: …", every phrase of it.
std::string phrases_of(const RiderWords& words) {
    std::vector<std::string> phrases;
    for (const valve::setup::RiderSaying& saying : words.sayings)
        phrases.insert(phrases.end(), saying.said.begin(), saying.said.end());
    return fmt::format("{} has: {}", words.path, fmt::join(phrases, ", "));
}

/// The table at `path`. Where nobody named it, an error says how to.
RiderWords words_of(const std::string& path, const Options& options) {
    try {
        return RiderWords::load(path);
    } catch (const valve::InputError& error) {
        if (!options.words.empty() || std::filesystem::exists(path)) throw;
        throw valve::InputError(fmt::format("{}; --words names another table of words", error.what()));
    }
}

/// What the rider said as a goal. What the table does not know is asked about and left out. Throws UsageError
/// where nothing is left.
valve::setup::Goal goal_said(const Options& options) {
    const std::filesystem::path beside = std::filesystem::path(options.file).parent_path() / "words.yaml";
    const RiderWords words = words_of(options.words.empty() ? beside.string() : options.words, options);
    valve::setup::Heard heard = valve::setup::heard(options.said, words, options.rides.events);
    for (std::size_t i = 0; i < heard.unknown.size(); ++i)
        log_warning(fmt::format("what is meant by {}? It counts for nothing here{}",
                                valve::in_quotes(heard.unknown[i]), heard.hints[i]));
    if (!heard.unknown.empty()) log_warning(phrases_of(words));
    if (heard.goal.lines.empty()) throw UsageError("--said: no phrase of it is in the table of words");
    return std::move(heard.goal);
}

valve::study::Goal goal_of(const Options& options) {
    if (!options.goal.empty() && !options.said.empty())
        throw UsageError("--said: give this or --goal, not both");
    if (options.goal.empty() && options.said.empty())
        throw UsageError("advise: give a goal file by --goal, or what the rider says by --said");
    if (options.said.empty() && !options.words.empty()) throw UsageError("--words: belongs to --said");
    if (options.said.empty() && !options.rides.events.empty())
        throw UsageError("--event: belongs to --said; the lines of a goal file name their own events");
    return valve::study::resolve(options.said.empty() ? valve::setup::Goal::load(options.goal)
                                                      : goal_said(options));
}

void run(const Options& options, Outcome& outcome) {
    options.position.check_on({options.file}, options);
    if (options.take && options.output.empty()) throw UsageError("--take: belongs to --output");
    const valve::setup::Document document = load(options.file, options);
    const valve::study::Goal goal = goal_of(options);
    options.rides.require_ridden(goal.requests());
    options.position.check_room(goal.requests(), {options.file}, options);
    if (!options.output.empty()) {
        Inputs inputs{{options.file}};
        inputs.add(goal);
        check_output("--output", options.output, files_read(inputs), {options.file});
    }
    valve::study::AdviseOptions asked;
    asked.at = {options.position.travel, options.position.rod_into, options.position.top_speed};
    asked.at.ride_valves = options.rides.how();
    asked.most_changes = options.changes;
    asked.most_pairs = options.pairs;
    for (const std::string& key : options.only)
        asked.only.push_back(asked_by("--only", [&] { return valve::setup::parameter(key).key; }));
    valve::damper::LiftCache lifts(options.follow);
    const InterruptWatch interrupt;
    asked.stop = [&interrupt] { return interrupt.asked(); };
    AdviceProgress progress;
    asked.progress = [&](valve::study::AdviseStage stage, std::size_t, std::size_t of) {
        progress.tell(stage, of);
    };
    const Advice advice = valve::study::advise(document, goal, asked, lifts);
    say_warnings(advice.reading);
    if (!options.output.empty()) write_whole(options.output, variant_of(options, advice));
    outcome.text = options.json  ? valve::report::written(valve::report::json(advice))
                   : options.csv ? valve::report::csv(valve::report::points(advice))
                                 : valve::report::text(advice);
    if (!options.output.empty() && !options.json && !options.csv)
        outcome.text += fmt::format("\n{}: written, number {} as a variant of {}.\n", options.output,
                                    options.take.value_or(1), options.file);
}

} // namespace

void add_advise(CommandLine& app, Outcome& outcome) {
    const Command command =
        app.add_command("advise", "Which single changes move what was asked for, and disturb the rest least");
    const auto options = std::make_shared<Options>();
    command.add_option("FILE", options->file, "Set-up file").required().option_text(" ");
    command.add_option("--goal", options->goal, "Goal file: figures and what each must do")
        .option_text("FILE.yaml");
    command
        .add_option("--said", options->said,
                    "In place of a goal what the rider says, in phrases of the table of words")
        .option_text("PHRASE,…");
    command.add_option("--words", options->words, "Table of rider's words; default: words.yaml beside FILE")
        .option_text("FILE.yaml");
    constexpr std::size_t most_told = 1000;
    constexpr std::size_t least_told = 1;
    add_whole(command, "--changes", options->changes, "Single changes to tell at most; default: 10",
              most_told, least_told);
    add_whole(command, "--pairs", options->pairs, "Pairs to tell at most; default: 5; 0: look for none",
              most_told);
    command
        .add_list("--only", options->only,
                  "Only changes below these keys, e.g. base.refill,support; default: all there are")
        .option_text("KEY,…");
    command.add_option("-o,--output", options->output, "Where a change goes as a set-up, a variant of FILE")
        .option_text("FILE.yaml");
    add_whole(command, "--take", options->take, "With -o: which change of the list; default: the first");
    add_rides(
        command, options->rides,
        "With --said: an event; what the table says of it counts in place of the rest; may be repeated");
    add_position(command, options->position);
    add_common(command, *options, true);
    add_theory(command, *options);
    add_shape(command, *options);
    command.set_footer(
        "  valve advise stacks/rally-fork.yaml --goal stacks/goals/refill.yaml\n"
        "  valve advise stacks/rally-fork.yaml --said 'dives, small bumps fine'\n"
        "A goal file is a list of lines, each one figure and what it must do:\n"
        "  format: 1\n"
        "  goal:\n"
        "    - {figure: refill_deficit, speed: -1 m/s, at_most: 0.3 bar}\n"
        "    - {figure: damping_force, speed: 1 m/s, keep: 5 %}\n"
        "    - {figure: peak_travel, event: landing.yaml, change: -10 mm}\n"
        "is (within), at_least, at_most, change (+10 %, -5 mm; within) or keep. Names of figures are\n"
        "those of compare --json without their unit; of forces on rebound the size counts. Over events\n"
        "sizes are sought with valves that follow at once, and what is told is ridden again.",
        "A change is computed, not tried. Release gas and springs as the maker's manual says before you\n"
        "open a unit, leave gas charging to licensed practice, and test-ride each change with care.");
    command.callback([options, &outcome] { run(*options, outcome); });
}

} // namespace program
