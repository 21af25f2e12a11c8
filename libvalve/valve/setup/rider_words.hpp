#pragma once

#include <valve/setup/goal.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace valve::setup {

/// What a rider says, and what he asks by it.
struct RiderSaying {
    std::vector<std::string> said; ///< phrases that mean this: "dives", "dives under braking"
    std::string means;             ///< in a workshop's words
    std::vector<GoalLine> lines;
    std::vector<GoalLine> on_events = {}; ///< over events, each named by its line
};

/// A table of rider's words, which a workshop edits.
struct RiderWords {
    std::string path;
    std::string title;
    std::vector<RiderSaying> sayings;

    /// Reads `path`. Throws InputError as Goal::load(), and for a phrase that stands there twice.
    static RiderWords load(const std::string& path);

    /// Reads `text`, which messages call `name`. Throws as load().
    static RiderWords parse(const std::string& text, const std::string& name);
};

/// What of a rider's words a table knows.
struct Heard {
    Goal goal;                        ///< the lines of every saying that was known, its title what was said
    std::vector<std::string> means;   ///< of each of them
    std::vector<std::string> unknown; ///< phrases that are not in the table, as said
    std::vector<std::string> hints;   ///< for each of them "; did you mean …?", or empty
};

/// Reads `said`, phrases between commas, semicolons or full stops: "dives, small bumps fine". Only phrases of
/// `words` count, capitals and blanks aside; nothing is guessed. What a saying asks over one of `events`,
/// files, counts in place of what it asks otherwise; events over which nothing said asks anything are told.
Heard heard(std::string_view said, const RiderWords& words, const std::vector<std::string>& events = {});

} // namespace valve::setup
