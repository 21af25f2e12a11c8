#include <valve/core/number.hpp>
#include <valve/core/units.hpp>
#include <valve/setup/declarations.hpp>
#include <valve/setup/reference.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

namespace valve::setup {
namespace {

std::string with_unit(double value, std::string_view unit_symbol) {
    return unit_symbol.empty() ? format_number(value)
                               : fmt::format("{} {}", format_number(value), unit_symbol);
}

/// Fills what depends on the kind of value, and finds the keys below it.
struct Describe {
    KeyRow& row;
    Keys below;

    void operator()(const Quantity& quantity) {
        row.type = name(unit(quantity.unit).dimension);
        row.unit = quantity.unit;
        row.range = range_text(quantity);
    }
    void operator()(const Count& count) {
        row.type = "whole number";
        row.range = fmt::format("{} to {}", count.low, count.high);
    }
    void operator()(const Choice& choice) { row.type = fmt::format("{}", fmt::join(choice.names, " | ")); }
    void operator()(const Text&) { row.type = "text"; }
    void operator()(const Map& map) {
        row.type = "map";
        below = map.keys();
    }
    void operator()(const Form& form) {
        row.type = form.type;
        if (form.keys) below = form.keys();
    }
};

void add_rows(const Keys& keys, const std::string& path, std::vector<KeyRow>& rows) {
    for (const Key& key : keys) {
        KeyRow row;
        row.key = joined(path, key.name);
        row.doc = key.doc;
        row.fallback = default_text(key).empty() ? key.otherwise : default_text(key);
        row.is_required = key.is_required;
        row.kinds = key.kinds;
        Describe describe{row, {}};
        std::visit(describe, key.value);
        rows.push_back(row);
        add_rows(describe.below, row.key, rows);
    }
}

} // namespace

std::vector<KeyRow> key_reference() {
    std::vector<KeyRow> rows;
    UnitText unit_text;
    add_rows(unit_keys(unit_text), "", rows);
    LoneValveText valve_text;
    const Keys lone = lone_valve_keys(valve_text);
    add_rows({lone.back()}, "", rows);
    return rows;
}

std::string bare_unit(const std::string& key) {
    std::vector<std::string> parts = split_key(key);
    if (parts.size() > 1 && parts.front() == "valves")
        parts[1] = "base.compression"; // stands for all of them
    const std::string row_key = fmt::format("{}", fmt::join(parts, "."));
    for (const KeyRow& row : key_reference())
        if (row.key == row_key) return row.unit;
    return {};
}

std::string range_text(const Quantity& quantity) {
    const std::string high = with_unit(quantity.range.high, quantity.unit);
    if (quantity.range.low_included) return fmt::format("{} to {}", format_number(quantity.range.low), high);
    return fmt::format("more than {}, at most {}", format_number(quantity.range.low), high);
}

std::string default_text(const Key& key) {
    if (key.is_required) return {};
    if (const auto* quantity = std::get_if<Quantity>(&key.value); quantity != nullptr && quantity->fallback) {
        return format_quantity(*quantity->fallback, quantity->unit);
    }
    if (const auto* count = std::get_if<Count>(&key.value); count != nullptr && count->fallback) {
        return std::to_string(*count->fallback);
    }
    if (const auto* choice = std::get_if<Choice>(&key.value); choice != nullptr && choice->fallback) {
        return choice->names[*choice->fallback];
    }
    return {};
}

} // namespace valve::setup
