#include <valve/core/text.hpp>
#include <valve/report/search.hpp>
#include <valve/study/reading.hpp>
#include <valve/study/search_part.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <charconv>
#include <memory>
#include <utility>

#include "command.hpp"
#include "inputs.hpp"
#include "progress_line.hpp"
#include "search_places.hpp"
#include "valves.hpp"
#include "whole_file.hpp"
#include "whole_number.hpp"

namespace program {

namespace {

using valve::study::SearchQuestion;
using valve::study::SearchResult;

struct Options : CommonOptions {
    std::string file, goal, drawer;
    std::vector<std::string> valves;
    std::vector<std::string> turns;
    std::string order = "taper";
    std::string shard;
    std::vector<std::string> merge;
    std::string output;
    std::optional<std::size_t> take; // none given: the best
    PositionOptions position;
    valve::study::SearchOptions search;
};

struct Shard {
    std::size_t part = 1;
    std::size_t of = 1;

    std::pair<int, int> numbers() const { return {static_cast<int>(part), static_cast<int>(of)}; }
};

Shard shard_of(const std::string& text) {
    Shard shard;
    const char* end = text.data() + text.size();
    const auto [slash, bad] = std::from_chars(text.data(), end, shard.part);
    const bool has_slash = bad == std::errc() && slash != end && *slash == '/';
    const auto [last, bad_of] = has_slash ? std::from_chars(slash + 1, end, shard.of)
                                          : std::from_chars_result{slash, std::errc::invalid_argument};
    if (bad_of != std::errc() || last != end || shard.part < 1 || shard.part > shard.of || shard.of > 10000)
        throw UsageError(fmt::format("--shard: expected K/N, part K of N, e.g. 1/4; got '{}'", text));
    return shard;
}

/// The answer under the number that the table gives it. Throws SolveError where that is the set-up as it is,
/// or none.
const valve::study::SearchAnswer& taken(const SearchQuestion& question, const SearchResult& result,
                                        std::size_t number) {
    const bool stays = !result.answers.empty() && valve::study::is_as_it_is(question, result.answers.front());
    if (stays && (number == 1 || result.answers.size() == 1))
        throw valve::SolveError(fmt::format(
            "--output: nothing is written: {}",
            result.reached() ? "as it is the set-up meets the goal"
                             : "nothing looked at comes nearer to the goal than the set-up as it is"));
    if (result.answers.empty() && result.is_interrupted)
        throw valve::SolveError("--output: nothing is written: interrupted before a stack was solved");
    if (result.answers.size() < number)
        throw valve::SolveError(fmt::format("--take: there are {} answers", result.answers.size()));
    return result.answers[number - 1];
}

/// The file of an answer, as it would stand at `output`.
std::string answer_file(const Options& options, const SearchQuestion& question,
                        const valve::study::SearchAnswer& answer, const std::string& title) {
    return variant_file(options.file, options.output, question.document(answer.candidate, answer.setting),
                        title);
}

void check(const Options& options) {
    options.position.check_on({options.file}, options);
    if (!options.shard.empty() && !options.merge.empty())
        throw UsageError("--shard makes a part, --merge puts parts together: give one of them");
    if (!options.shard.empty() && options.output.empty())
        throw UsageError("--shard: say with -o where the part goes");
    if (options.take && (options.output.empty() || !options.shard.empty()))
        throw UsageError(options.shard.empty() ? "--take: belongs to --output"
                                               : "--take: a part of a search has no answers yet");
    if (options.take && (*options.take < 1 || *options.take > options.search.answers))
        throw UsageError(fmt::format("--take: the answers are numbered 1 to {}", options.search.answers));
}

/// Throws UsageError where the output would replace what is read, or is no earlier `answer`.
void keep_inputs(const Options& options, const valve::study::Goal& goal, const Answer& answer) {
    if (options.output.empty()) return;
    Inputs inputs{{options.file}};
    inputs.add(goal);
    inputs.others.push_back(options.drawer);
    inputs.others.insert(inputs.others.end(), options.merge.begin(), options.merge.end());
    check_output("--output", options.output, files_read(inputs), answer);
}

void run(const Options& options, Outcome& outcome) {
    check(options);
    valve::study::SearchOptions asked = options.search;
    asked.places = places_of(options.valves);
    asked.adjusters = options.turns;
    asked.order = options.order == "any" ? valve::study::PileOrder::any : valve::study::PileOrder::taper;
    asked.at = {options.position.travel, options.position.rod_into, options.position.top_speed};
    check_numbers(asked);
    const Shard shard = options.shard.empty() ? Shard{} : shard_of(options.shard);

    const valve::setup::Reading reading = read_and_warn(load(options.file, options));
    valve::study::unit_of(options.file, reading);
    for (const std::string& name : options.valves)
        chosen_valves(reading, name);
    try {
        valve::study::check_turned(reading, options.turns);
    } catch (const valve::InputError& error) {
        throw UsageError(std::string("--turn: ") + error.what());
    }
    const valve::study::Goal goal = valve::study::resolve(valve::setup::Goal::load(options.goal));
    keep_inputs(options, goal, options.shard.empty() ? Answer{options.file} : Answer{{}, shard.numbers()});
    options.position.check_room(goal.requests(), {options.file}, options);
    const valve::setup::Drawer drawer = valve::setup::Drawer::load(options.drawer);
    valve::damper::LiftCache lifts(options.follow);
    const SearchQuestion question(reading, goal, drawer, asked, lifts);

    const InterruptWatch interrupt;
    ProgressLine line;
    valve::study::SearchHooks hooks;
    hooks.stop = [&interrupt] { return interrupt.asked(); };
    hooks.progress = [&line](const valve::study::SearchProgress& progress) {
        line.tell(valve::report::words(progress), static_cast<int>(progress.stage), progress.done,
                  progress.most);
    };
    if (!options.shard.empty()) {
        const valve::study::SearchPart part = valve::study::screen(question, shard.part, shard.of, hooks);
        write_whole(options.output, valve::study::part_text(part));
        outcome.text = options.json ? valve::report::written(valve::report::json(part, options.output))
                                    : valve::report::text(part, options.output);
        return;
    }
    SearchResult result;
    if (options.merge.empty()) {
        result = valve::study::search(question, hooks);
    } else {
        std::vector<valve::study::SearchPart> parts;
        for (const std::string& path : options.merge)
            parts.push_back(valve::study::load_part(path, question));
        result = valve::study::solve(question, valve::study::merged(std::move(parts)), hooks);
    }
    line.clear();
    if (!options.output.empty()) {
        write_whole(options.output,
                    answer_file(options, question, taken(question, result, options.take.value_or(1)),
                                fmt::format("{}, stacks for: {}", reading.title, goal.title)));
    }
    const valve::report::SearchNames names{options.file, reading.title,  options.goal,
                                           goal.title,   options.drawer, drawer.title};
    outcome.text = options.json ? valve::report::written(valve::report::json(question, result, names))
                                : valve::report::text(question, result, names);
    if (!options.output.empty() && !options.json)
        outcome.text += fmt::format("\n{}: written, number {} as a variant of {}.\n", options.output,
                                    options.take.value_or(1), options.file);
}

} // namespace

void add_search(CommandLine& app, Outcome& outcome) {
    const Command command = app.add_command("search", "Stacks from the shims at hand that meet a goal");
    const auto options = std::make_shared<Options>();
    valve::study::SearchOptions& search = options->search;
    command.add_option("FILE", options->file, "Set-up file").required().option_text(" ");
    command.add_option("--goal", options->goal, "What the figures must do")
        .required()
        .option_text("GOAL.yaml");
    command
        .add_option("--drawer", options->drawer,
                    "What lies at hand; the shims of the stacks that may change count too")
        .required()
        .option_text("DRAWER.yaml");
    command
        .add_option(
            "--valve", options->valves,
            "Whose stack may change, may be repeated; default: every one that moves a line of the goal")
        .option_text("NAME");
    command
        .add_option(
            "--turn", options->turns,
            "Needle whose clicks, or coil of a float whose turns, may change as well (NAME as `inspect` "
            "lists it), or " +
                std::string(valve::study::main_spring) +
                " for the main spring's preload where the goal asks for sag or support; may be repeated")
        .option_text("NAME");
    command.add_choice(
        "--order", {"taper", "any"}, options->order,
        "taper: no shim larger than the one before it (default); any: any order behind the face");
    add_whole(command, "--most", search.most,
              fmt::format("Stacks to look at, at most; where there are no more, all of them; default: {}",
                          search.most));
    add_whole(command, "--starts", search.starts,
              fmt::format("Where there are more: places from where to look; default: {}", search.starts));
    add_whole(command, "--seed", search.seed, fmt::format("Of these places; default: {}", search.seed));
    add_whole(command, "--answers", search.answers,
              fmt::format("How many to tell; default: {}", search.answers));
    command
        .add_option("-o,--output", options->output,
                    "Where the best goes as a set-up, a variant of FILE; with --shard, where the part goes")
        .option_text("OUT.yaml");
    add_whole(command, "--take", options->take, "Which answer -o writes; default: the best");
    command
        .add_option("--shard", options->shard, "Look at part K of N only, and write with -o what was found")
        .option_text("K/N");
    command
        .add_option("--merge", options->merge,
                    "A part written by --shard, in place of looking; repeated for all of them")
        .option_text("PART.yaml");
    add_position(command, options->position);
    add_theory(command, *options);
    add_shape(command, *options);
    add_common(command, *options, false);
    command.set_footer(
        "  valve search stacks/rally-fork.yaml --goal stacks/goals/harder-hits.yaml \\\n"
        "    --drawer stacks/drawers/van.yaml --valve base.compression -o stack.yaml\n"
        "Ctrl+C ends it with the best so far. On several machines:\n"
        "  valve search … --shard 1/2 -o one.yaml      valve search … --shard 2/2 -o two.yaml\n"
        "  valve search … --merge one.yaml --merge two.yaml",
        "A drawer lists what lies at hand: shims with how many there are, and one of each of the others:\n"
        "  format: 1\n"
        "  drawer:\n"
        "    shims: [12 * 24 x 0.15, 4 * 22 x 0.15]\n"
        "    sleeves: [1.40 mm, 1.65 mm]   # under the stop of a float: shims on it take float away\n"
        "    coils: [0.8 N/mm, 20 N/mm]    # of floats; preload goes with the rate\n"
        "    springs: [4.6 N/mm, 5.0 N/mm] # main springs, where the goal asks for sag or support\n"
        "    height: 2.6 mm                # most that a stack may be high\n\n"
        "A stack found is a proposal: check that it has room on its post and under the nut, and ride the\n"
        "first metres after it as a test ride, away from traffic.");
    command.callback([options, &outcome] { run(*options, outcome); });
}

} // namespace program
