#include <valve/core/error.hpp>
#include <valve/core/number.hpp>
#include <valve/core/text.hpp>

#include <fmt/format.h>

#include <charconv>
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
    if (text.find(',') != std::string_view::npos) return "use a point for decimals, as in 1.5";
    if (text.find_first_of("_'") != std::string_view::npos) return "leave out digit separators, as in 1000";
    if (text.starts_with('+')) return "leave out the plus sign";
    return "expected digits with a point, as in 0.15 or 1.4e9";
}

} // namespace

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
