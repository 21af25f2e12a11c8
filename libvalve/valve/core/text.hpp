#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace valve {

/// Whether a byte of UTF-8 continues the character of the byte before it.
constexpr bool continues_character(char byte) {
    return (static_cast<unsigned char>(byte) & 0xC0U) == 0x80U;
}

/// Number of characters in UTF-8 text.
std::size_t character_count(std::string_view text);

/// Length of the UTF-8 sequence that begins `text`, 0 if it is not one (RFC 3629, section 4: no overlong
/// forms, no surrogates, nothing above U+10FFFF).
std::size_t utf8_length(std::string_view text);

/// The characters of `text`, each safe to print: blanks for control characters, which a terminal may act on,
/// and for those that change the direction of the text or end a line (U+061C, U+200E and U+200F, U+2028 to
/// U+202E, U+2066 to U+2069, U+FEFF; Unicode Standard Annex 9), a question mark for a byte that is not UTF-8.
std::vector<std::string> printable_characters(std::string_view text);

/// Text of several lines, safe to print: as printable_characters(), but line ends and tabs stay.
std::string harmless(std::string_view text);

/// `text` without blanks at either end.
std::string_view trimmed(std::string_view text);

/// At most the first `most` characters of `text`, printable.
std::string printable(std::string_view text, std::size_t most);

/// `text` in quotes for a message: printable, and cut when long.
std::string in_quotes(std::string_view text);

/// The candidate that `text` is most likely a slip of: the fewest single-character edits and swaps of
/// neighbours, capitals aside. Empty if none is near.
std::string_view nearest(std::string_view text, std::span<const std::string> candidates);

/// "; did you mean …?" for the nearest candidate, or else for the one to three of which `text` is a word
/// ("sag" of "rider_sag"), or nothing.
std::string did_you_mean(std::string_view text, std::span<const std::string> candidates);

} // namespace valve
