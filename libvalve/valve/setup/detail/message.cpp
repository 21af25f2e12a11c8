#include <valve/core/error.hpp>
#include <valve/core/number.hpp>
#include <valve/core/text.hpp>
#include <valve/setup/detail/message.hpp>

#include <fmt/format.h>

#include <algorithm>

namespace valve::setup {
namespace {

constexpr std::size_t longest_key = 120; // shown [characters]
constexpr std::size_t longest_reason = 1000;
constexpr std::size_t widest_excerpt = 100; // [characters]
constexpr std::size_t before_caret = 60;    // kept of a long line [characters]

/// Line number `line` of `text`, empty beyond its end.
std::string_view line_of(std::string_view text, std::size_t line) {
    for (; line > 1; --line) {
        const auto end = text.find('\n');
        if (end == std::string_view::npos) return {};
        text.remove_prefix(end + 1);
    }
    text = text.substr(0, text.find('\n'));
    if (text.ends_with('\r')) text.remove_suffix(1);
    return text;
}

std::string excerpt(const Place& place) {
    const std::vector<std::string> characters = printable_characters(line_of(place.source->text, place.line));
    const std::size_t caret = std::min(place.column - 1, characters.size());
    const bool is_long = characters.size() > widest_excerpt;
    const std::size_t first = is_long && caret > before_caret ? caret - before_caret : 0;
    const std::size_t last = std::min(characters.size(), first + widest_excerpt);
    std::string shown = first > 0 ? "…" : "";
    for (std::size_t i = first; i < last; ++i)
        shown += characters[i];
    if (last < characters.size()) shown += "…";
    const std::string margin = place.source->has_lines ? fmt::format("{:5} | ", place.line) : "      | ";
    const std::size_t indent = caret - first + (first > 0 ? 1 : 0);
    return fmt::format("{}{}\n      | {}^", margin, shown, std::string(indent, ' '));
}

std::string where(const Place& place) {
    std::string name = printable(place.source->name, longest_reason);
    if (!place.source->has_lines) return name;
    return fmt::format("{}:{}:{}", name, place.line, place.column);
}

} // namespace

std::string message_at(const Place& place, std::string_view severity, std::string_view key,
                       std::string_view what) {
    return fmt::format("{}: {}: {}{}{}\n{}", where(place), severity, printable(key, longest_key),
                       key.empty() ? "" : ": ", printable(what, longest_reason), excerpt(place));
}

void refuse_decimal_comma(const Place& place, std::string_view key, std::string_view before,
                          std::string_view after) {
    constexpr std::string_view digits = "0123456789";
    const std::size_t number = before.find_last_not_of("0123456789.") + 1; // 0 where there is nothing else
    const std::string_view whole = before.substr(number);
    const std::string_view unit =
        trimmed(after.substr(std::min(after.find_first_not_of(digits), after.size())));
    const bool has_decimals = !after.empty() && digits.find(after.front()) != std::string_view::npos;
    if (whole.empty() || whole.find('.') != std::string_view::npos || !has_decimals) return;
    if (!unit.empty() && std::string_view(".*x\xC3").find(unit.front()) != std::string_view::npos)
        return; // a shim
    const std::string number_read = fmt::format("{},{}", whole, after);
    const std::string plain = without_thousands(number_read.substr(0, number_read.find_first_of(" \t")));
    if (!plain.empty())
        fail(place, key,
             fmt::format("{} is taken for two values: write {} without a comma for thousands, or a point for "
                         "decimals",
                         in_quotes(fmt::format("{},{}", before, after)), plain));
    fail(place, key,
         fmt::format("{} looks like a decimal comma: use a point, as in {}.{}",
                     in_quotes(fmt::format("{},{}", before, after)), before, after));
}

void fail(const Place& place, std::string_view key, std::string_view what) {
    throw InputError(message_at(place, "error", key, what));
}

void fail(const Place& place, std::string_view key, std::string_view what, const Place& other_place,
          std::string_view other_key) {
    throw InputError(message_at(place, "error", key, what) + "\n" +
                     message_at(other_place, "note", other_key, "the other value"));
}

} // namespace valve::setup
