#pragma once

#include <valve/setup/placed_text.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::setup {

/// What a line of a goal asks of its figure.
enum class Must {
    is,       ///< a value, give or take `within`
    at_least, ///< no less than a value
    at_most,  ///< no more
    change,   ///< today's value changed by a share or an amount, give or take `within`
    keep      ///< today's value, give or take a share or an amount
};

/// One figure and what it must do, as written. Which figures there are, and what measures them, is known
/// above (study/goal.hpp).
struct GoalLine {
    std::string key;                                    ///< "goal[2]", of the line
    PlacedText figure;                                  ///< its name
    std::optional<PlacedText> speed = std::nullopt;     ///< of the rod
    std::optional<PlacedText> travel = std::nullopt;    ///< part of the full travel
    std::optional<PlacedText> frequency = std::nullopt; ///< of a cycle
    std::optional<PlacedText> event = std::nullopt;     ///< a file with an event of a ride, as written
    std::string event_path = {};                        ///< the same, found beside the goal file
    Must must = Must::keep;
    PlacedText amount;                               ///< of `must`: "+10 %", "0.3 bar"
    std::optional<PlacedText> within = std::nullopt; ///< beside `is` and `change`
    bool is_said = false;                            ///< by a rider, not written in a goal
};

/// A goal file.
struct Goal {
    std::string path;
    std::string title; ///< the file's name where none is given
    std::vector<GoalLine> lines;
    std::vector<std::string> unused_events = {}; ///< files that were to be ridden, over which no line is

    /// Reads `path`. Throws InputError for what Document::load() refuses in a file, for a key that is not
    /// known, and for a line that does not say one thing.
    static Goal load(const std::string& path);

    /// Reads `text`, which messages call `name`. Throws as load().
    static Goal parse(const std::string& text, const std::string& name);
};

} // namespace valve::setup
