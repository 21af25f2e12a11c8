#include <valve/core/text.hpp>
#include <valve/report/key_words.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>
#include <utility>

namespace valve::report {

namespace {

using Words = std::pair<std::string_view, std::string_view>;

constexpr std::array<Words, 4> valves{{{"base.compression", "base valve"},
                                       {"base.refill", "check plate"},
                                       {"piston.compression", "mid-valve"},
                                       {"piston.rebound", "rebound stack"}}};

// Below a valve. Keys that are not here are told by their last part.
constexpr std::array<Words, 27> of_valve{{{"shims", "shims"},
                                          {"clamp", "clamp"},
                                          {"bore", "inner diameter"},
                                          {"edge", "inner edge"},
                                          {"disc", "disc"},
                                          {"material", "shim material"},
                                          {"ports", "ports"},
                                          {"ports.area", "port area"},
                                          {"ports.count", "number of ports"},
                                          {"ports.length", "port length"},
                                          {"zone", "pressure zone"},
                                          {"zone.inner", "inner edge of the pressure zone"},
                                          {"zone.outer", "outer edge of the pressure zone"},
                                          {"seat", "seat"},
                                          {"seat.height", "seat height"},
                                          {"seat.inner", "inner edge of the seat"},
                                          {"seat.outer", "outer edge of the seat"},
                                          {"float", "float"},
                                          {"float.travel", "float"},
                                          {"float.sleeve", "sleeve"},
                                          {"float.rate", "coil"},
                                          {"float.preload", "coil preload"},
                                          {"float.at", "ring of coil and stop"},
                                          {"float.adjuster.turns", "turns"},
                                          {"bleed", "bleed"},
                                          {"bleed.needle", "needle"},
                                          {"bleed.needle.clicks", "clicks"}}};

constexpr std::array<Words, 39> others{{{"oil", "the oil"},
                                        {"oil.viscosity", "the oil's viscosity"},
                                        {"oil.density", "the oil's density"},
                                        {"oil.temperature", "the oil's temperature"},
                                        {"damper", "the damper"},
                                        {"damper.bore", "the bore"},
                                        {"damper.rod", "the rod"},
                                        {"damper.travel", "the travel"},
                                        {"damper.layout", "the layout"},
                                        {"damper.ring_leak", "the piston ring's leak"},
                                        {"damper.ring_leak.gap", "the piston ring's gap"},
                                        {"damper.end_of_stroke", "the cup at the end of the stroke"},
                                        {"damper.top_out", "the cup at full extension"},
                                        {"reservoir", "the reservoir"},
                                        {"reservoir.kind", "the kind of reservoir"},
                                        {"reservoir.diameter", "the reservoir's bore"},
                                        {"reservoir.rate", "the reservoir's spring"},
                                        {"reservoir.preload", "the reservoir's spring preload"},
                                        {"reservoir.friction", "the reservoir's seal friction"},
                                        {"reservoir.gas_pressure", "the gas charge"},
                                        {"reservoir.gas_volume", "the gas volume"},
                                        {"reservoir.exponent", "the gas exponent"},
                                        {"support", "springs and gas"},
                                        {"support.spring", "the spring"},
                                        {"support.spring.rate", "the spring"},
                                        {"support.spring.preload", "the spring's preload"},
                                        {"support.leg", "the leg's oil and air"},
                                        {"support.leg.oil", "the oil in the leg"},
                                        {"support.leg.level", "the oil level"},
                                        {"support.leg.pressure", "the leg's air pressure"},
                                        {"support.friction", "the friction of seals and bushings"},
                                        {"support.breakaway", "the friction before it moves"},
                                        {"support.top_out", "the top-out spring"},
                                        {"support.stop", "the stop"},
                                        {"support.load", "the load on the wheel"},
                                        {"support.load.rider", "the rider's weight"},
                                        {"support.legs", "the number of legs"},
                                        {"vehicle", "the vehicle"},
                                        {"vehicle.unsprung", "the vehicle's unsprung mass"}}};

constexpr std::array<Words, 4> kinds{{{"spring_piston", "spring-backed piston"},
                                      {"gas_piston", "gas piston"},
                                      {"bladder", "bladder"},
                                      {"leg", "the leg's air"}}};

template <std::size_t N>
std::optional<std::string> found(const std::array<Words, N>& table, std::string_view key) {
    const auto row =
        std::find_if(table.begin(), table.end(), [&](const Words& words) { return words.first == key; });
    return row == table.end() ? std::nullopt : std::optional(std::string(row->second));
}

/// "port_transition" as "port transition".
std::string plain(std::string_view key) {
    std::string text(key);
    std::replace_if(
        text.begin(), text.end(), [](char c) { return c == '_' || c == '.'; }, ' ');
    return text;
}

std::string_view without(std::string_view text, std::string_view prefix) {
    return text.starts_with(prefix) ? text.substr(prefix.size()) : text;
}

/// The words of the nearest key above that has some, and what is left: "the spring's second rate".
std::string by_parent(std::string_view key) {
    for (std::size_t dot = key.rfind('.'); dot != std::string_view::npos; dot = key.rfind('.', dot - 1)) {
        if (const auto words = found(others, key.substr(0, dot)))
            return fmt::format("{}'s {}", *words, plain(key.substr(dot + 1)));
        if (dot == 0) break;
    }
    return "the " + plain(key);
}

/// The kind that a map in flow text states.
std::optional<std::string> kind_in(std::string_view flow_text) {
    constexpr std::string_view mark = "kind: ";
    const std::size_t at = flow_text.find(mark);
    if (!flow_text.starts_with("{") || at == std::string_view::npos) return std::nullopt;
    const std::string_view rest = flow_text.substr(at + mark.size());
    return std::string(rest.substr(0, rest.find_first_of(",}")));
}

std::string value_words(const std::optional<std::string>& value) {
    if (!value) return "none";
    if (const auto kind = kind_in(*value)) return found(kinds, *kind).value_or(plain(*kind));
    if (const auto kind = found(kinds, *value)) return *kind;
    if (value->size() > 2 && value->front() == '[' && value->back() == ']')
        return value->substr(1, value->size() - 2);
    return *value;
}

/// What follows the number of a quantity: " N/mm", and not what is said of it in brackets; empty for a list
/// of shims.
std::string_view unit_of(std::string_view value) {
    value = value.substr(0, value.find(" ("));
    if (value.find_first_of("*,x") != std::string_view::npos) return {};
    const std::size_t end = value.find_first_not_of("+-.0123456789");
    return end == 0 || end == std::string_view::npos || value[end] != ' ' ? std::string_view{}
                                                                          : value.substr(end);
}

} // namespace

std::string valve_words(std::string_view name) {
    return found(valves, name).value_or(std::string(name));
}

std::string key_words(std::string_view key) {
    const std::string_view below = without(key, "valves.");
    std::string_view rest;
    std::string owner;
    if (below.size() != key.size()) {
        for (const auto& [name, words] : valves) {
            if (!below.starts_with(name)) continue;
            owner = fmt::format("the {}", words);
            rest = without(below.substr(name.size()), ".");
        }
    } else if (key.starts_with("valve.")) {
        owner = "the valve";
        rest = without(key, "valve.");
    }
    constexpr std::string_view viscosity = "oil.viscosity.";
    if (key.starts_with(viscosity))
        return fmt::format("the oil's viscosity at {}", key.substr(viscosity.size()));
    if (owner.empty()) return found(others, key).value_or(by_parent(key));
    if (rest.empty()) return owner;
    return fmt::format("{}'s {}", owner, found(of_valve, rest).value_or(plain(rest)));
}

std::string short_key(std::string_view key) {
    return std::string(without(key, "valves."));
}

std::string step_words(const setup::Difference& difference) {
    const std::string to = value_words(difference.to);
    std::string from = value_words(difference.from);
    const std::string_view unit = unit_of(from);
    if (!unit.empty() && from.ends_with(unit) && unit == unit_of(to)) from.resize(from.size() - unit.size());
    return fmt::format("{} → {}", from, to);
}

std::string change_words(const setup::Difference& difference) {
    return fmt::format("{}, {} ({})", key_words(difference.key), step_words(difference),
                       short_key(difference.key));
}

} // namespace valve::report
