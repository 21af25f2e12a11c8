#pragma once

#include <span>
#include <string>
#include <string_view>

namespace valve {

/// `text` without blanks at either end.
std::string_view trimmed(std::string_view text);

/// `text` in quotes for a message: control characters replaced, cut when long.
std::string in_quotes(std::string_view text);

/// The candidate that `text` is most likely a slip of: the fewest single-character edits and swaps of
/// neighbours, capitals aside. Empty if none is near.
std::string_view nearest(std::string_view text, std::span<const std::string> candidates);

/// "; did you mean …?" for the nearest candidate, or nothing.
std::string did_you_mean(std::string_view text, std::span<const std::string> candidates);

} // namespace valve
