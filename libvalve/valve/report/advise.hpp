#pragma once

#include <valve/report/json.hpp>
#include <valve/study/advise.hpp>

#include <cstddef>
#include <string>
#include <string_view>
#include <vector>

namespace valve::report {

/// What a line of a goal asks: "at most 0.30 bar", "+10 %, give or take 2 %", "stays within 2 %".
std::string words(const study::GoalLine& line);

/// A change in words of the bench: "the check plate's coil, 60 → 10 N/mm (base.refill.float.rate)"; "one more
/// 24 x 0.15 in the base valve (base.compression.shims)".
std::string words(const study::Step& step);

/// All steps of a suggestion in words, one after the other.
std::string words(const study::Suggestion& suggestion);

/// Every key that it sets, as --set takes it: "valves.base.refill.float.rate=10.1 N/mm; …".
std::string set_words(const study::Suggestion& suggestion);

Json json(const study::Suggestion& suggestion);
Json json(const study::Advice& advice);

/// The single changes as rows for CSV, one a change.
Json points(const study::Advice& advice);

std::string text(const study::Advice& advice);

/// What the lines of the goal come to: "refill deficit at 1 m/s 0.28 bar; … (not met)".
std::string gives_words(const study::Suggestion& suggestion, const study::Advice& advice);

/// What else a suggestion moves by a noticeable step: "It also moves: support at 90 % travel …. Better too:
/// ….".
std::string side_words(const study::Suggestion& suggestion, double top_speed);

/// A line of the goal and how today stands: "… should be at most 0.30 bar: today 1.23 bar, 9.3 steps off."
std::string line_words(const study::Advice& advice, std::size_t line);

/// That a line's change is no more than the room that it leaves by not stating any; empty where it is more.
std::string wide_words(const study::Advice& advice, std::size_t line);

/// What comes nearest where nothing meets the goal, how sizes were sought, whether it was interrupted.
std::vector<std::string> closing_words(const study::Advice& advice);

/// What the set-up as it is says to its goal, and what meets it: the answer in a sentence or two.
std::string verdict_words(const study::Advice& advice);

/// How changes are sized and ranked, for those who read the result.
std::string_view rule_of_advice();

} // namespace valve::report
