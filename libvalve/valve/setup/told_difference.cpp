#include <valve/core/error.hpp>
#include <valve/core/text.hpp>
#include <valve/core/units.hpp>
#include <valve/setup/parameter.hpp>
#include <valve/setup/read.hpp>
#include <valve/setup/told_difference.hpp>

#include <fmt/format.h>

#include <cmath>
#include <optional>
#include <string>
#include <string_view>
#include <utility>

namespace valve::setup {

namespace {

constexpr double rounding = 1e-12; // of one value in two units

/// What a key comes to; none where there is nothing, or no more than words.
std::optional<Value> value_at(const Document& document, const std::string& key) {
    try {
        return document.get(key);
    } catch (const Error&) { // a default that follows from other keys may be told in words
        return std::nullopt;
    }
}

bool is_same(const std::optional<Value>& from, const std::optional<Value>& to) {
    if (!from || !to) return false;
    if (!from->number || !to->number) return from->text == to->text;
    return std::abs(*from->number - *to->number) <= rounding * std::abs(*to->number);
}

bool is_same(const Reading& a, const Reading& b) {
    return a.unit == b.unit && a.vehicle == b.vehicle && a.valve == b.valve && a.oil == b.oil;
}

/// Whether `to` stays what it is with the difference undone.
bool is_none(const Difference& difference, const Document& from, const Document& to, const Reading& read_to) {
    if (is_same(value_at(from, difference.key), value_at(to, difference.key))) return true;
    try {
        return is_same(read(undone(to, from, difference)), read_to);
    } catch (const Error&) { // the other values need this one
        return false;
    }
}

/// "34.925 mm (1.375 in)"; `written` where the value is no quantity, or in the unit that is documented.
std::string told(const std::string& written, const std::optional<Value>& value, const std::string& key) {
    const std::string unit_symbol = bare_unit(key);
    if (!value || !value->number || unit_symbol.empty()) return written;
    const std::size_t end = written.find_first_not_of("+-.0123456789eE");
    if (end == std::string::npos) return value->text;
    const Unit& in = unit(trimmed(std::string_view(written).substr(end)));
    const Unit& documented = unit(unit_symbol);
    const bool is_documented =
        in.numerator * documented.denominator == documented.numerator * in.denominator &&
        in.zero == documented.zero;
    if (is_documented) return value->text;
    return fmt::format("{:.5g} {} ({})", from_si(*value->number, documented), documented.symbol, written);
}

std::optional<std::string> told(const std::optional<std::string>& written, const Document& document,
                                const std::string& key) {
    const std::optional<Value> value = value_at(document, key);
    if (written) return told(*written, value, key);
    if (!value) return std::nullopt;
    return value->text + " (default)";
}

} // namespace

std::vector<Difference> real_differences(const Document& from, const Document& to) {
    const Reading read_to = read(to);
    std::vector<Difference> list;
    for (Difference& difference : differences(from, to))
        if (!is_none(difference, from, to, read_to)) list.push_back(std::move(difference));
    return list;
}

std::vector<Difference> told_differences(const Document& from, const Document& to) {
    std::vector<Difference> list = real_differences(from, to);
    for (Difference& difference : list) {
        difference.from = told(difference.from, from, difference.key);
        difference.to = told(difference.to, to, difference.key);
    }
    return list;
}

} // namespace valve::setup
