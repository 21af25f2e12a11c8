#include <valve/core/text.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

namespace valve {
namespace {

constexpr std::size_t longest_quote = 60; // characters shown of what was read

char lower(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
}

/// Whether one of the words of `name`, parted by underscores, is `word`, capitals aside.
bool has_word(std::string_view name, std::string_view word) {
    constexpr std::size_t shortest = 3; // letters of a word that says something
    if (word.size() < shortest) return false;
    for (std::size_t begin = 0; begin <= name.size();) {
        const std::size_t end = std::min(name.find('_', begin), name.size());
        if (std::equal(name.begin() + static_cast<std::ptrdiff_t>(begin),
                       name.begin() + static_cast<std::ptrdiff_t>(end), word.begin(), word.end(),
                       [](char a, char b) { return lower(a) == lower(b); }))
            return true;
        begin = end + 1;
    }
    return false;
}

/// Edits that turn `a` into `b`: insert, delete, replace, swap neighbours (optimal string alignment).
std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> before_last(b.size() + 1);
    std::vector<std::size_t> last(b.size() + 1);
    std::vector<std::size_t> row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j)
        row[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        before_last.swap(last);
        last.swap(row);
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const bool same = lower(a[i - 1]) == lower(b[j - 1]);
            row[j] = std::min({last[j] + 1, row[j - 1] + 1, last[j - 1] + (same ? 0 : 1)});
            if (i > 1 && j > 1 && lower(a[i - 1]) == lower(b[j - 2]) && lower(a[i - 2]) == lower(b[j - 1])) {
                row[j] = std::min(row[j], before_last[j - 2] + 1);
            }
        }
    }
    return row[b.size()];
}

/// The character that the `length` bytes at the beginning of `text` stand for.
unsigned code_point(std::string_view text, std::size_t length) {
    const auto byte = [&](std::size_t i) {
        return static_cast<unsigned>(static_cast<unsigned char>(text[i]));
    };
    if (length == 1) return byte(0);
    unsigned code = byte(0) & (0x7FU >> length);
    for (std::size_t i = 1; i < length; ++i)
        code = code << 6U | (byte(i) & 0x3FU);
    return code;
}

/// Whether a terminal acts on the character instead of showing it.
bool is_control(unsigned code) {
    const auto within = [code](unsigned first, unsigned last) { return code >= first && code <= last; };
    const bool turns_text = code == 0x61C || within(0x200E, 0x200F) || within(0x202A, 0x202E) ||
                            within(0x2066, 0x2069) || code == 0xFEFF;
    return code < 0x20 || within(0x7F, 0x9F) || within(0x2028, 0x2029) || turns_text;
}

} // namespace

std::size_t character_count(std::string_view text) {
    return static_cast<std::size_t>(
        std::count_if(text.begin(), text.end(), [](char byte) { return !continues_character(byte); }));
}

std::size_t utf8_length(std::string_view text) {
    const auto byte = [&](std::size_t i) {
        return static_cast<unsigned>(static_cast<unsigned char>(text[i]));
    };
    const unsigned lead = byte(0);
    if (lead < 0x80) return 1;
    const std::size_t length = lead < 0xC2 ? 0 : lead < 0xE0 ? 2 : lead < 0xF0 ? 3 : lead < 0xF5 ? 4 : 0;
    if (length == 0 || text.size() < length) return 0;
    for (std::size_t i = 1; i < length; ++i) {
        if ((byte(i) & 0xC0U) != 0x80U) return 0;
    }
    const unsigned second = byte(1);
    const bool overlong = (lead == 0xE0 && second < 0xA0) || (lead == 0xF0 && second < 0x90);
    const bool surrogate = lead == 0xED && second >= 0xA0;
    const bool beyond = lead == 0xF4 && second >= 0x90;
    return overlong || surrogate || beyond ? 0 : length;
}

std::string_view trimmed(std::string_view text) {
    constexpr std::string_view blanks = " \t\r\n";
    const auto first = text.find_first_not_of(blanks);
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

std::vector<std::string> printable_characters(std::string_view text) {
    std::vector<std::string> characters;
    while (!text.empty()) {
        const std::size_t length = utf8_length(text);
        const std::string_view character = text.substr(0, std::max<std::size_t>(length, 1));
        characters.emplace_back(length == 0                                 ? "?"
                                : is_control(code_point(character, length)) ? " "
                                                                            : character);
        text.remove_prefix(character.size());
    }
    return characters;
}

std::string harmless(std::string_view text) {
    std::string shown;
    shown.reserve(text.size());
    while (!text.empty()) {
        const std::size_t length = utf8_length(text);
        const std::string_view character = text.substr(0, std::max<std::size_t>(length, 1));
        const bool is_layout = character == "\n" || character == "\t";
        if (length == 0) {
            shown += '?';
        } else if (!is_layout && is_control(code_point(character, length))) {
            shown += ' ';
        } else {
            shown += character;
        }
        text.remove_prefix(character.size());
    }
    return shown;
}

std::string printable(std::string_view text, std::size_t most) {
    std::string shown;
    std::size_t count = 0;
    constexpr std::size_t longest_character = 4; // [bytes]
    for (const std::string& character :
         printable_characters(text.substr(0, longest_character * (most + 1)))) {
        if (++count > most) return shown + "…";
        shown += character;
    }
    return shown;
}

std::string in_quotes(std::string_view text) {
    return "'" + printable(text, longest_quote) + "'";
}

std::string_view nearest(std::string_view text, std::span<const std::string> candidates) {
    if (text.size() > 2 * longest_quote) return {}; // no slip of a key
    std::string_view best;
    std::size_t fewest = std::max<std::size_t>(1, text.size() / 3) + 1;
    for (const std::string& candidate : candidates) {
        const std::size_t edits = edit_distance(text, candidate);
        if (edits < fewest && edits < candidate.size()) {
            fewest = edits;
            best = candidate;
        }
    }
    return best;
}

std::string did_you_mean(std::string_view text, std::span<const std::string> candidates) {
    if (const std::string_view candidate = nearest(text, candidates); !candidate.empty())
        return fmt::format("; did you mean '{}'?", candidate);
    constexpr std::size_t most_told = 3; // a word of more names tells nothing
    std::vector<std::string> holding;
    for (const std::string& candidate : candidates) {
        const std::string quoted = fmt::format("'{}'", candidate);
        if (has_word(candidate, text) && std::find(holding.begin(), holding.end(), quoted) == holding.end())
            holding.push_back(quoted);
    }
    if (holding.empty() || holding.size() > most_told) return {};
    return fmt::format("; did you mean {}?", fmt::join(holding, " or "));
}

} // namespace valve
