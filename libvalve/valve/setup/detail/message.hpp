#pragma once

#include <valve/setup/detail/node.hpp>

#include <string>
#include <string_view>

namespace valve::setup {

/// "file:line:column: error: key: what", the line itself and a caret below the column.
std::string message_at(const Place& place, std::string_view severity, std::string_view key,
                       std::string_view what);

/// Throws InputError with the message at `place`. `key` may be empty.
[[noreturn]] void fail(const Place& place, std::string_view key, std::string_view what);

/// The same where two keys conflict: the second place follows.
[[noreturn]] void fail(const Place& place, std::string_view key, std::string_view what,
                       const Place& other_place, std::string_view other_key);

/// Fails where `before`, the text of a value, and `after`, what stands behind the next comma, are the halves
/// of a number with a decimal comma, which a list or a map in braces takes for two values: "0" and "15 mm".
void refuse_decimal_comma(const Place& place, std::string_view key, std::string_view before,
                          std::string_view after);

} // namespace valve::setup
