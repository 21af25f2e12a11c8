#include <valve/core/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <vector>

namespace valve {
namespace {

constexpr std::size_t longest_quote = 60; // characters shown of what was read

char lower(char c) {
    return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
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

bool is_continuation(char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) == 0x80U;
}

} // namespace

std::string_view trimmed(std::string_view text) {
    constexpr std::string_view blanks = " \t\r\n";
    const auto first = text.find_first_not_of(blanks);
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

std::string in_quotes(std::string_view text) {
    std::string shown = "'";
    std::size_t characters = 0;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (!is_continuation(text[i]) && ++characters > longest_quote) {
            shown += "…";
            break;
        }
        const auto byte = static_cast<unsigned char>(text[i]);
        shown += byte < 0x20 || byte == 0x7F ? ' ' : text[i];
    }
    return shown + "'";
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
    const std::string_view candidate = nearest(text, candidates);
    return candidate.empty() ? std::string() : fmt::format("; did you mean '{}'?", candidate);
}

} // namespace valve
