#pragma once

#include <valve/report/json.hpp>
#include <valve/study/advise.hpp>

#include <string>
#include <string_view>

namespace valve::report {

/// What a line of a goal asks: "at most 0.30 bar", "+10 %, give or take 2 %", "stays within 2 %".
std::string words(const study::GoalLine& line);

/// A change in words of the bench: "the check plate's coil, 60 → 10 N/mm (base.refill.float.rate)"; "one more
/// 24 x 0.15 in the base valve (base.compression.shims)".
std::string words(const study::Step& step);

/// All steps of a suggestion.
std::string words(const study::Suggestion& suggestion);

Json json(const study::Suggestion& suggestion);
Json json(const study::Advice& advice);

/// One line a single change.
Json points(const study::Advice& advice);

std::string text(const study::Advice& advice);

/// What else a suggestion moves by a noticeable step: "support at 90 % travel +150 N; better: …". Empty for
/// nothing.
std::string side_words(const study::Suggestion& suggestion, double top_speed);

/// How changes are sized and ranked, for those who read the result.
std::string_view rule_of_advice();

} // namespace valve::report
