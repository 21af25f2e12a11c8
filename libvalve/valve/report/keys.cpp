#include <valve/core/error.hpp>
#include <valve/report/keys.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cctype>
#include <iterator>
#include <utility>

namespace valve::report {

namespace {

constexpr std::string_view template_valve = "valves.base.compression";

std::string lower(std::string_view text) {
    std::string result(text);
    std::transform(result.begin(), result.end(), result.begin(),
                   [](char c) { return static_cast<char>(std::tolower(static_cast<unsigned char>(c))); });
    return result;
}

bool starts_below(const std::string& key, std::string_view above) {
    return key == above || (key.starts_with(above) && key.at(above.size()) == '.');
}

/// The key that is called `name` and those below it, under the name of its valve; empty where there is none.
std::vector<setup::Parameter> keys_at(std::string_view name) {
    std::vector<setup::Parameter> found;
    for (setup::Parameter& key : setup::further_parameters())
        if (starts_below(key.key, name)) found.push_back(std::move(key));
    if (!found.empty()) return found;
    try {
        const setup::Parameter asked = setup::parameter(name);
        found.push_back(asked);
        for (const setup::Parameter& any : setup::parameters()) {
            // Those of a valve are listed once, for the first; the asked one has its own name.
            const std::string rest =
                any.key.starts_with(template_valve) ? any.key.substr(template_valve.size()) : "";
            for (const std::string_view valve :
                 {template_valve, std::string_view("valves.base.refill"),
                  std::string_view("valves.piston.compression"), std::string_view("valves.piston.rebound"),
                  std::string_view("valve")}) {
                if (rest.empty() || rest.front() != '.') continue;
                setup::Parameter own = any;
                own.key = std::string(valve) + rest;
                if (own.key != asked.key && starts_below(own.key, asked.key) && asked.key != "valves")
                    found.push_back(own);
            }
            if (rest.empty() && any.key != asked.key && starts_below(any.key, asked.key))
                found.push_back(any);
        }
    } catch (const InputError&) {
        // no such key: the caller looks for the words
    }
    return found;
}

/// "mm, more than 0, at most 300 mm, required"; "closed_cartridge | monotube".
std::string takes(const setup::Parameter& key) {
    std::vector<std::string> parts{key.type};
    if (!key.unit.empty()) parts.back() += fmt::format(" [{}]", key.unit);
    if (!key.range.empty()) parts.push_back(key.range);
    if (key.is_required) parts.emplace_back("required");
    if (!key.fallback.empty()) parts.push_back("default: " + key.fallback);
    if (!key.kinds.empty()) parts.push_back(fmt::format("of kind {}", fmt::join(key.kinds, ", ")));
    return fmt::format("{}", fmt::join(parts, "; "));
}

/// Those of set-ups, then those of further files.
std::vector<setup::Parameter> all_keys() {
    std::vector<setup::Parameter> keys = setup::parameters();
    std::vector<setup::Parameter> further = setup::further_parameters();
    std::move(further.begin(), further.end(), std::back_inserter(keys));
    return keys;
}

} // namespace

std::vector<setup::Parameter> matching_keys(std::string_view words) {
    if (words.empty()) return setup::parameters();
    std::vector<setup::Parameter> found = keys_at(words);
    if (!found.empty()) return found;
    std::vector<std::string> wanted(1);
    for (const char c : lower(words)) {
        if (c != ' ')
            wanted.back() += c;
        else if (!wanted.back().empty())
            wanted.emplace_back();
    }
    for (setup::Parameter& key : all_keys()) {
        const std::string name = lower(key.key);
        const std::string doc = lower(key.doc);
        const auto is_there = [&](const std::string& word) {
            return name.find(word) != std::string::npos || doc.find(word) != std::string::npos;
        };
        if (std::all_of(wanted.begin(), wanted.end(), is_there)) found.push_back(std::move(key));
    }
    return found;
}

Json json(const std::vector<setup::Parameter>& keys) {
    Json array = Json::array();
    const auto or_none = [](const std::string& text) { return text.empty() ? Json(nullptr) : Json(text); };
    for (const setup::Parameter& key : keys) {
        Json object;
        object["key"] = key.key;
        object["type"] = key.type;
        object["unit"] = or_none(key.unit);
        object["range"] = or_none(key.range);
        object["low"] = key.limits ? Json(key.limits->low) : Json(nullptr);
        object["high"] = key.limits ? Json(key.limits->high) : Json(nullptr);
        object["low_included"] = key.limits ? Json(key.limits->low_included) : Json(nullptr);
        object["default"] = or_none(key.fallback);
        object["required"] = key.is_required;
        object["kinds"] = key.kinds;
        object["words"] = key.doc;
        object["file"] = key.file;
        array.push_back(object);
    }
    return array;
}

std::string text(const std::vector<setup::Parameter>& keys) {
    std::string out;
    bool has_valves = false;
    bool has_further = false;
    for (const setup::Parameter& key : keys) {
        out += fmt::format("{}\n", key.key);
        out += "    " + wrapped(takes(key), page_columns - 4, "    ") + "\n";
        out += "    " + wrapped(key.doc, page_columns - 4, "    ") + "\n";
        has_valves = has_valves || key.key.starts_with(std::string(template_valve) + ".");
        has_further = has_further || key.file != setup::set_up_file;
    }
    out += "\n" +
           wrapped("The unit of a bare number stands in brackets; other units of the same kind may be "
                   "written out.",
                   page_columns, "") +
           "\n";
    if (has_valves)
        out +=
            wrapped("Every valve has the keys of valves.base.compression: valves.base.refill, "
                    "valves.piston.compression and valves.piston.rebound as well, and valve in a file with "
                    "one valve alone.",
                    page_columns, "") +
            "\n";
    if (has_further)
        out +=
            wrapped(
                "Keys of an event, a goal, a drawer or a rider's words stand in a file of their own, which "
                "says format: 1 and may have a title and a note.",
                page_columns, "") +
            "\n";
    else
        out += "Files beside set-ups have keys of their own: valve keys event, goal, drawer or words.\n";
    return out;
}

} // namespace valve::report
