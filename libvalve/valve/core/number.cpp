#include <valve/core/error.hpp>
#include <valve/core/number.hpp>
#include <valve/core/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cstddef>
#include <system_error>

namespace valve {
namespace {

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

bool has_leading_zero(std::string_view text) {
    if (text.starts_with('-')) text.remove_prefix(1);
    return text.size() > 1 && text[0] == '0' && is_digit(text[1]);
}

bool is_hexadecimal(std::string_view text) {
    if (text.starts_with('-')) text.remove_prefix(1);
    return text.starts_with("0x") || text.starts_with("0X");
}

/// Why `text` is no number, as advice.
std::string advice(std::string_view text) {
    if (is_hexadecimal(text)) return "write it in decimal";
    if (text.find(',') != std::string_view::npos) {
        const std::string plain = without_thousands(text);
        return plain.empty()
                   ? "use a point for decimals, as in 1.5"
                   : fmt::format("write {} without a comma for thousands, or a point for decimals", plain);
    }
    if (text.find_first_of("_'") != std::string_view::npos) return "leave out digit separators, as in 1000";
    if (text.starts_with('+')) return "leave out the plus sign";
    return "expected digits with a point, as in 0.15 or 1.4e9";
}

} // namespace

std::string without_thousands(std::string_view text) {
    constexpr std::size_t group = 3; // digits between commas
    const auto are_digits = [](std::string_view part) {
        return std::all_of(part.begin(), part.end(), is_digit);
    };
    std::string_view rest = text.substr(text.starts_with('-') ? 1 : 0);
    if (rest.starts_with('0')) return {};
    std::string plain(text.substr(0, text.size() - rest.size()));
    for (bool is_first = true;; is_first = false) {
        const std::size_t digits = std::min(rest.find_first_of(",."), rest.size());
        const bool has_comma = digits < rest.size() && rest[digits] == ',';
        const bool is_group = is_first ? digits >= 1 && digits <= group && has_comma : digits == group;
        if (!is_group || !are_digits(rest.substr(0, digits))) return {};
        plain += rest.substr(0, digits);
        rest.remove_prefix(has_comma ? digits + 1 : digits);
        if (has_comma) continue;
        if (!are_digits(rest.substr(std::min<std::size_t>(1, rest.size())))) return {}; // behind a point
        return plain.append(rest);
    }
}

double parse_number(std::string_view text) {
    if (text.empty()) throw InputError("expected a number, but nothing is written");
    if (has_leading_zero(text)) {
        throw InputError(fmt::format("{} has a leading zero: leave it out", in_quotes(text)));
    }
    double value = 0.0;
    const bool starts_like_a_number = is_digit(text[0]) || text[0] == '-' || text[0] == '.';
    const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (error == std::errc::result_out_of_range) {
        throw InputError(fmt::format("{} is too large or too small for a number", in_quotes(text)));
    }
    const bool named = text.find_first_of("nNiI") != std::string_view::npos; // -nan, -inf
    if (error != std::errc() || end != text.data() + text.size() || !starts_like_a_number || named) {
        throw InputError(fmt::format("{} is not a number: {}", in_quotes(text), advice(text)));
    }
    return value + 0.0; // -0 becomes 0
}

std::string format_number(double value) {
    return fmt::format("{}", value);
}

} // namespace valve
