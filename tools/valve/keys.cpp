#include <valve/core/text.hpp>
#include <valve/report/keys.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <memory>

#include "command.hpp"

namespace program {

namespace {

struct Options {
    std::vector<std::string> list;
    bool json = false;

    std::string words() const { return fmt::format("{}", fmt::join(list, " ")); }
};

/// The words between the dots of all keys.
std::vector<std::string> parts_of_keys() {
    std::vector<std::string> parts;
    for (const auto& keys : {valve::setup::parameters(), valve::setup::further_parameters()})
        for (const valve::setup::Parameter& key : keys)
            parts.push_back(key.key.substr(key.key.find_last_of('.') + 1));
    return parts;
}

void run(const Options& options, Outcome& outcome) {
    const std::vector<valve::setup::Parameter> keys = valve::report::matching_keys(options.words());
    if (keys.empty())
        throw UsageError(fmt::format("keys: none has {} in its name or its words{}",
                                     valve::in_quotes(options.words()),
                                     valve::did_you_mean(options.words(), parts_of_keys())));
    outcome.text =
        options.json ? valve::report::written(valve::report::json(keys)) : valve::report::text(keys);
}

} // namespace

void add_keys(CommandLine& app, Outcome& outcome) {
    const Command command = app.add_command("keys", "What a file may hold: every key, its unit and range");
    const auto options = std::make_shared<Options>();
    command
        .add_arguments("WORDS", options->list,
                       "A key, or words to look for, all of them in one; default: all keys of set-ups")
        .option_text(" ");
    command.add_flag("--json", options->json, "One JSON array, an object a key").option_text(" ");
    command.set_footer("  valve keys float\n"
                       "  valve keys piston.rebound.bleed\n"
                       "  valve keys event\n"
                       "Any key of a set-up can be set beside a file:\n"
                       "--set 'piston.rebound.bleed.needle.clicks=8'.",
                       "A range keeps slips out; it does not say what suits a damper.");
    command.callback([options, &outcome] { run(*options, outcome); });
}

} // namespace program
