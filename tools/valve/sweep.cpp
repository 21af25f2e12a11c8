#include "sweep.hpp"

#include <valve/core/text.hpp>
#include <valve/core/units.hpp>
#include <valve/damper/spec.hpp>
#include <valve/setup/parameter.hpp>
#include <valve/study/adjusters.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <string_view>
#include <utility>

#include "messages.hpp"

namespace program {

namespace {

/// One key of a sweep and its settings.
struct Axis {
    std::string name; // of an adjuster, or the key as typed
    std::string key;
    std::string steps;
    std::vector<std::string> settings;
    std::string option = "--sweep";
};

Axis temperature_axis(const std::vector<std::string>& temperatures) {
    const std::vector<double> asked = quantities_of("--temperatures", temperatures, "C");
    const auto limits = valve::setup::parameter("oil.temperature").limits;
    if (limits) require_within("--temperatures", asked, {limits->low, limits->high, "C"});
    if (temperatures.size() < 2) throw UsageError("--temperatures: expected at least two");
    Axis axis{"oil.temperature", "oil.temperature", {}, {}, "--temperatures"};
    for (const std::string& temperature : temperatures)
        axis.settings.push_back(valve::format_quantity(quantity_of("--temperatures", temperature, "C"), "C"));
    return axis;
}

/// Values between commas; those in brackets or braces belong to one list or map.
std::vector<std::string> split_values(const std::string& text) {
    std::vector<std::string> values(1);
    int open = 0;
    for (const char c : text) {
        open += c == '[' || c == '{' ? 1 : c == ']' || c == '}' ? -1 : 0;
        if (c == ',' && open == 0) {
            values.emplace_back();
        } else {
            values.back() += c;
        }
    }
    for (std::string& value : values)
        value = std::string(valve::trimmed(value));
    return values;
}

/// "NAME=VALUE,VALUE…", NAME an adjuster or a dotted key.
Axis axis_of(const std::string& text, const std::vector<valve::study::Adjuster>& adjusters) {
    const Assignment set = assignment("--sweep", text, "NAME=VALUE,VALUE,…");
    Axis axis{set.left, valve::setup::full_key(set.left), {}, split_values(set.right)};
    if (axis.settings.size() < 2)
        throw UsageError(fmt::format("--sweep: '{}' has one value; expected NAME=VALUE,VALUE,…", text));
    for (const valve::study::Adjuster& adjuster : adjusters) {
        if (adjuster.name != set.left && adjuster.key != axis.key) continue;
        axis.key = adjuster.key;
        axis.steps = adjuster.steps;
        return axis;
    }
    const auto& places = valve::damper::all_places;
    const bool is_valve = std::any_of(places.begin(), places.end(), [&](valve::damper::Place place) {
        return axis.key == fmt::format("valves.{}", valve::damper::name(place));
    });
    if (is_valve && !axis.settings.front().starts_with('{'))
        throw UsageError(
            fmt::format("--sweep: {} has no adjuster; expected one that has, or a key, e.g. {}.shims",
                        set.left, set.left));
    return axis;
}

constexpr std::size_t most_variants = 200; // more columns than anyone reads

/// Every setting of one axis, or every pair of settings of several.
Variants variants_of(const std::vector<Axis>& axes) {
    Variants variants;
    const Axis& first = axes.front();
    if (first.settings.size() > most_variants)
        throw UsageError(fmt::format("{}: {} variants; expected no more than {}", first.option,
                                     first.settings.size(), most_variants));
    if (axes.size() == 1) {
        variants.sweep = {first.name, first.key, first.steps, first.settings, {}};
        variants.sweep.unit = valve::study::unit_of_settings(first.key, first.settings);
        for (const std::string& setting : first.settings)
            variants.overrides.push_back({{first.key, setting, first.option}});
        return variants;
    }
    variants.sweep.settings = {""};
    variants.overrides = {{}};
    for (const Axis& axis : axes) {
        if (variants.sweep.settings.size() * axis.settings.size() > most_variants)
            throw UsageError(fmt::format("--sweep: a grid of more than {} variants", most_variants));
        Variants wider;
        wider.sweep.name = variants.sweep.name + (variants.sweep.name.empty() ? "" : " / ") + axis.name;
        for (std::size_t i = 0; i < variants.overrides.size(); ++i) {
            for (const std::string& setting : axis.settings) {
                const std::string& before = variants.sweep.settings[i];
                wider.sweep.settings.push_back(before + (before.empty() ? "" : " / ") + setting);
                wider.overrides.push_back(variants.overrides[i]);
                wider.overrides.back().push_back({axis.key, setting, axis.option});
            }
        }
        variants = std::move(wider);
    }
    return variants;
}

} // namespace

Variants variants_of(const std::string& file, const CommonOptions& common,
                     const std::vector<std::string>& sweeps, const std::vector<std::string>& temperatures) {
    if (!temperatures.empty()) {
        if (!sweeps.empty()) throw UsageError("--temperatures: give this or --sweep, not both");
        return variants_of({temperature_axis(temperatures)});
    }
    const std::vector<valve::study::Adjuster> adjusters =
        valve::study::adjusters(valve::setup::read(load(file, common)));
    std::vector<Axis> axes;
    for (const std::string& text : sweeps)
        axes.push_back(axis_of(text, adjusters));
    return variants_of(axes);
}

valve::study::DocumentAt documents_of(const std::string& file, const CommonOptions& common,
                                      const Variants& variants) {
    return [&](std::size_t i) { return load(file, common, variants.overrides.at(i)); };
}

void say_once(const std::vector<std::string>& warnings) {
    for (auto warning = warnings.begin(); warning != warnings.end(); ++warning)
        if (std::find(warnings.begin(), warning, *warning) == warning) log_warning(*warning);
}

void say_left_out(const std::string& sweep, const std::vector<valve::study::LeftOut>& left_out) {
    for (const valve::study::LeftOut& one : left_out)
        log_warning(fmt::format("{} at {} is left out: {}", sweep, one.setting, one.why));
}

} // namespace program
