#include "command.hpp"

#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <fmt/format.h>
#include <spdlog/spdlog.h>

#include <cmath>
#include <map>

namespace program {

namespace {

struct Assignment {
    std::string left;
    std::string right;
};

Assignment assignment(const std::string& option, const std::string& text) {
    const std::size_t equals = text.find('=');
    if (equals == std::string::npos || equals == 0)
        throw UsageError(fmt::format("{}: expected NAME=VALUE, got '{}'", option, text));
    return {text.substr(0, equals), text.substr(equals + 1)};
}

std::vector<valve::setup::Override> overrides(const CommonOptions& options) {
    std::vector<valve::setup::Override> list;
    for (const std::string& text : options.set) {
        const Assignment set = assignment("--set", text);
        list.push_back({set.left, set.right});
    }
    for (const std::string& text : options.clicks) {
        const Assignment set = assignment("--clicks", text);
        const std::string owner = set.left == "valve" ? "valve" : "valves." + set.left;
        list.push_back({owner + ".bleed.needle.clicks", set.right});
    }
    return list;
}

} // namespace

void add_common(CLI::App& command, CommonOptions& options, bool has_points) {
    command
        .add_option("--set", options.set,
                    "Another value for a key: --set 'oil.temperature=5 C'; may be given more than once")
        ->type_name("KEY=VALUE")
        ->allow_extra_args(false);
    command
        .add_option("--clicks", options.clicks,
                    "Clicks out from closed of an adjuster: --clicks base.compression=8; may be repeated")
        ->type_name("VALVE=N")
        ->allow_extra_args(false);
    CLI::Option* json = command.add_flag("--json", options.json, "One JSON object with SI keys");
    if (!has_points) return;
    command.add_flag("--csv", options.csv, "The points as comma-separated values, SI, one row a point")
        ->excludes(json);
}

void add_theory(CLI::App& command, CommonOptions& options) {
    using valve::stack::Theory;
    command
        .add_option("--theory", options.follow.theory,
                    fmt::format("Plate theory; default: {}", valve::stack::name(options.follow.theory)))
        ->transform(CLI::Transformer(std::map<std::string, Theory>{
            {"linear", Theory::linear}, {"large-deflection", Theory::large_deflection}}))
        ->type_name("linear|large-deflection");
}

void add_position(CLI::App& command, PositionOptions& options) {
    using valve::damper::RodInto;
    command
        .add_option("--travel", options.travel, "Rod travel from full extension [mm]; default: mid travel")
        ->type_name("MM");
    command
        .add_option("--rod-into", options.rod_into,
                    "What the rod of a closed cartridge leaves into: the atmosphere, as on a dynamometer "
                    "(default), or the leg's air")
        ->transform(CLI::Transformer(
            std::map<std::string, RodInto>{{"atmosphere", RodInto::atmosphere}, {"leg", RodInto::leg}}))
        ->type_name("atmosphere|leg");
    command
        .add_option("--top-speed", options.top_speed,
                    "Rod speed up to which voids are looked for [m/s]; default: 4")
        ->type_name("M/S");
}

std::optional<double> PositionOptions::travel_in_metres() const {
    return travel ? std::optional<double>(*travel * 1e-3) : std::nullopt;
}

void PositionOptions::check() const {
    if (travel) require_finite("--travel", {*travel});
    constexpr double fastest = 100.0; // [m/s], ten times what a landing gives
    if (!(top_speed > 0.0 && top_speed <= fastest))
        throw UsageError(
            fmt::format("--top-speed: expected above 0 and up to {} m/s, got {}", fastest, top_speed));
}

void set_footer(CLI::App& command, const std::string& example, const std::string& caution) {
    command.footer(fmt::format("Example:\n{}\n\n{}\n", example, caution));
}

valve::setup::Document load(const std::string& path, const CommonOptions& options) {
    return valve::setup::Document::load(path, overrides(options));
}

void say_warnings(const valve::setup::Reading& reading) {
    for (const std::string& warning : reading.warnings)
        spdlog::warn("{}", warning);
}

valve::setup::Reading read_and_warn(const valve::setup::Document& document) {
    valve::setup::Reading reading = valve::setup::read(document);
    say_warnings(reading);
    return reading;
}

void require_finite(const std::string& name, const std::vector<double>& values) {
    for (const double value : values)
        if (!std::isfinite(value))
            throw UsageError(fmt::format("{}: {} is not a finite number", name, value));
}

} // namespace program
