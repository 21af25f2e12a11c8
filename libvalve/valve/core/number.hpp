#pragma once

#include <string>
#include <string_view>

namespace valve {

/// Reads the whole of `text` as a decimal number.
/// Refuses what is easily misread: nan, inf, hexadecimal, a decimal comma, digit separators, leading zeros
/// (010), a plus sign, and numbers beyond the range of a double. Does not depend on the locale.
/// Throws InputError that says what was read and what is expected; the caller adds the place.
double parse_number(std::string_view text);

/// "1050" of "1,050": `text` without its commas where these may part thousands; empty where they cannot.
std::string without_thousands(std::string_view text);

/// Shortest text that parse_number() reads back as the same value.
std::string format_number(double value);

} // namespace valve
