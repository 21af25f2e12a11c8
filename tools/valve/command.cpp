#include "command.hpp"

#include <valve/core/number.hpp>
#include <valve/core/text.hpp>
#include <valve/core/units.hpp>
#include <valve/report/adjusters.hpp>
#include <valve/setup/measured_run.hpp>
#include <valve/setup/parameter.hpp>
#include <valve/study/evaluation.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <filesystem>
#include <map>
#include <system_error>

#include "messages.hpp"

namespace program {

namespace {

std::vector<valve::setup::Override> settings(const CommonOptions& options) {
    std::vector<valve::setup::Override> list;
    for (const std::string& text : options.set) {
        const Assignment set = assignment("--set", text);
        list.push_back({set.left, set.right, "--set"});
    }
    return list;
}

/// Throws UsageError for a number beyond the adjuster's range, be it one that its key may hold.
void require_setting(const std::string& text, const std::string& setting,
                     const valve::study::Adjuster& adjuster) {
    double steps = 0.0;
    try {
        steps = valve::parse_number(setting);
    } catch (const valve::InputError&) {
        return; // its key says what is expected
    }
    if (steps < 0.0 || steps > adjuster.range)
        throw UsageError(fmt::format("--clicks: {}: {:g} {} lie outside the adjuster's range, 0 to {:g}",
                                     text, steps, adjuster.steps, adjuster.range));
}

/// The override that `text`, "NAME=N", stands for in the file that was read.
valve::setup::Override click(const std::string& text, const valve::setup::Reading& reading) {
    const Assignment set = assignment("--clicks", text);
    const std::vector<valve::study::Adjuster> known = valve::study::adjusters(reading);
    for (const valve::study::Adjuster& adjuster : known) {
        if (adjuster.name != set.left && adjuster.key != valve::setup::full_key(set.left)) continue;
        require_setting(text, set.right, adjuster);
        return {adjuster.key, set.right, "--clicks"};
    }
    std::vector<std::string> names;
    for (const valve::study::Adjuster& adjuster : known)
        names.push_back(adjuster.name);
    throw UsageError(fmt::format("--clicks: no adjuster {}{}; as set: {}", valve::in_quotes(set.left),
                                 valve::did_you_mean(set.left, names),
                                 known.empty() ? "there is none" : valve::report::settings(known)));
}

/// An option with one of a few names as its value.
template <class Value>
void add_choice(const Command& command, const std::string& name, const std::map<std::string, Value>& choices,
                Value& value, const std::string& description) {
    std::vector<std::string> names;
    for (const auto& [choice, meaning] : choices)
        names.push_back(choice);
    command.add_choice(
        name, names, [choices, &value](const std::string& given) { value = choices.at(given); }, description);
}

/// Adds what `text` of --clicks stands for. Throws UsageError for what the adjuster has not.
void add_click(std::vector<valve::setup::Override>& overrides, const std::string& path,
               const std::string& text, const valve::setup::Reading& reading) {
    overrides.push_back(click(text, reading));
    try {
        valve::setup::read(valve::setup::Document::load(path, overrides));
    } catch (const valve::InputError& error) {
        throw UsageError(fmt::format("--clicks: {}: {}", text, reason_of(error.what())));
    }
}

} // namespace

Assignment assignment(const std::string& option, const std::string& text, const char* expected) {
    const std::size_t equals = text.find('=');
    if (equals == std::string::npos || equals == 0)
        throw UsageError(fmt::format("{}: expected {}, got '{}'", option, expected, text));
    return {text.substr(0, equals), text.substr(equals + 1)};
}

void add_common(const Command& command, CommonOptions& options, bool has_points) {
    command
        .add_option("--set", options.set,
                    "Another value for a key, as in --set 'oil.temperature=5 C'; may be repeated")
        .option_text("KEY=VALUE");
    command
        .add_option("--clicks", options.clicks,
                    "An adjuster, in clicks out from closed or turns out from fully in, as in --clicks "
                    "base.compression=8 (NAME as `inspect` lists it); may be repeated")
        .option_text("NAME=N");
    const Option json =
        command.add_flag("--json", options.json, "One JSON object with SI keys").option_text(" ");
    if (!has_points) return;
    command.add_flag("--csv", options.csv, "The points as comma-separated values, SI, one row a point")
        .excludes(json)
        .option_text(" ");
}

void add_theory(const Command& command, CommonOptions& options) {
    using valve::stack::Theory;
    add_choice<Theory>(command, "--theory",
                       {{"linear", Theory::linear}, {"large-deflection", Theory::large_deflection}},
                       options.follow.theory,
                       fmt::format("Plate theory; default: {}", valve::stack::name(options.follow.theory)));
}

void add_shape(const Command& command, CommonOptions& options) {
    command.add_flag(
        "--round", [&options] { options.follow.shape = valve::stack::Shape::round; },
        "Take stacks for round under their mean load; default: as they bend over ports that are windows, and "
        "beyond buckling into waves");
}

void add_position(const Command& command, PositionOptions& options, bool looks_for_voids) {
    using valve::damper::RodInto;
    command
        .add_quantity("--travel", options.travel, "mm",
                      "Rod travel from full extension [mm]; default: mid travel")
        .option_text("MM");
    add_choice<RodInto>(command, "--rod-into", {{"atmosphere", RodInto::atmosphere}, {"leg", RodInto::leg}},
                        options.rod_into,
                        "What the rod of a closed cartridge leaves into: the atmosphere, as on a dynamometer "
                        "(default), or the leg's air");
    if (!looks_for_voids) return;
    command
        .add_quantity("--top-speed", options.top_speed, "m/s",
                      fmt::format("Rod speed up to which voids are looked for [m/s]; default: {:g}",
                                  valve::damper::usual_top_speed))
        .option_text("M/S");
}

void add_measured(const Command& command, MeasuredOptions& options) {
    command
        .add_option("--measured", options.file,
                    "A dynamometer run to lay over the prediction: a table of comma-, semicolon- or "
                    "tab-separated values with a head line")
        .option_text("RUN.csv");
    command
        .add_option("--columns", options.columns,
                    "Which columns of the run hold what, with units; a minus turns the sign: speed positive "
                    "in compression, force (on the rod) or damping (zeroed at rest) positive outwards; "
                    "default: speed=speed,force=force, the units in the head")
        .option_text("speed=NAME[UNIT],force=NAME[UNIT]");
}

std::optional<valve::study::RunFile> MeasuredOptions::run() const {
    if (file.empty() && !columns.empty()) throw UsageError("--columns: belongs to --measured");
    if (file.empty()) return std::nullopt;
    try {
        return valve::study::RunFile{file, valve::setup::read_run(file, columns)};
    } catch (const valve::setup::ColumnsError& error) {
        throw of_columns(error);
    }
}

void PositionOptions::check_on(const std::vector<std::string>& files, const CommonOptions& common) const {
    using valve::damper::Layout;
    check();
    const bool into_leg = rod_into == valve::damper::RodInto::leg;
    if (!travel && !into_leg) return;
    for (const std::string& file : files) {
        const valve::setup::Reading reading = valve::setup::read(load(file, common));
        if (!reading.unit) continue;
        if (travel) require_travels("--travel", {*travel}, *reading.unit);
        if (into_leg && reading.unit->cartridge.layout != Layout::closed_cartridge)
            throw UsageError(fmt::format("--rod-into: only the rod of a closed cartridge can leave into the "
                                         "air of its leg, and {} is none",
                                         file));
        if (into_leg && !(reading.unit->support && reading.unit->support->leg))
            throw UsageError(fmt::format(
                "--rod-into: {} has no support.leg, and so no air for the rod to leave into", file));
    }
}

void PositionOptions::check_room(const std::vector<std::string>& files, const CommonOptions& common) const {
    if (!travel) return;
    constexpr double rounding = 1e-12; // [m]
    for (const std::string& file : files) {
        const valve::setup::Reading reading = valve::setup::read(load(file, common));
        if (!reading.unit) continue;
        const valve::damper::Bounds room = valve::study::room_for_cycles(*reading.unit);
        if (*travel < room.low - rounding || *travel > room.high + rounding)
            throw UsageError(
                fmt::format("--travel: cycles of {:.4g} mm about {:.4g} mm leave the travel of {}; expected "
                            "{:.4g} to {:.4g} mm",
                            1e3 * valve::study::usual_stroke(*reading.unit), *travel * 1e3, file,
                            room.low * 1e3, room.high * 1e3));
    }
}

void PositionOptions::check_room(const std::vector<valve::study::FigureRequest>& figures,
                                 const std::vector<std::string>& files, const CommonOptions& common) const {
    if (std::any_of(figures.begin(), figures.end(), [](const auto& figure) { return figure.frequency; }))
        check_room(files, common);
}

void PositionOptions::check() const {
    if (travel) require_within("--travel", {*travel}, asked_travels);
    require_within("--top-speed", {top_speed}, valve::above_zero_to(valve::damper::fastest_rod, "m/s"));
}

std::vector<valve::setup::Override> overrides_of(const std::string& path, const CommonOptions& options) {
    std::vector<valve::setup::Override> overrides = settings(options);
    if (!options.clicks.empty()) {
        const valve::setup::Reading reading =
            valve::setup::read(valve::setup::Document::load(path, overrides));
        for (const std::string& text : options.clicks)
            add_click(overrides, path, text, reading);
    }
    return overrides;
}

valve::setup::Document load(const std::string& path, const CommonOptions& options,
                            const std::vector<valve::setup::Override>& more) {
    std::vector<valve::setup::Override> overrides = overrides_of(path, options);
    overrides.insert(overrides.end(), more.begin(), more.end());
    return valve::setup::Document::load(path, overrides);
}

std::string variant_file(const std::string& file, const std::string& output,
                         const valve::setup::Document& changed, const std::string& title) {
    namespace fs = std::filesystem;
    std::error_code ignored;
    // As it is read: from where the file is, links to it and to its folder followed.
    const auto real = [&](const fs::path& path) {
        return fs::weakly_canonical(fs::absolute(path, ignored), ignored);
    };
    const fs::path base = real(fs::path(file).parent_path() / ".") / fs::path(file).filename();
    const fs::path from = base.lexically_normal().lexically_relative(real(output).parent_path());
    return valve::setup::variant_text(valve::setup::Document::load(file), changed, title,
                                      from.generic_string());
}

void say_warnings(const valve::setup::Reading& reading) {
    for (const std::string& warning : reading.warnings)
        log_warning(warning);
}

valve::setup::Reading read_and_warn(const valve::setup::Document& document) {
    valve::setup::Reading reading = valve::setup::read(document);
    say_warnings(reading);
    return reading;
}

void require_within(const std::string& name, const std::vector<double>& values, const valve::Limits& limits) {
    valve::Findings findings;
    for (const double value : values)
        valve::require(findings, name, value, limits);
    valve::refuse_errors<UsageError>(findings, "");
}

void require_positive(const std::string& name, double value, double most, const std::string& unit) {
    if (!(value > 0.0 && value <= most))
        throw UsageError(
            fmt::format("{}: expected above 0 and up to {:g} {}, got {:g}", name, most, unit, value));
}

void require_travels(const std::string& name, const std::vector<double>& travels,
                     const valve::damper::SetUp& unit) {
    const double most = unit.cartridge.travel;
    for (const double travel : travels)
        if (!(travel >= 0.0 && travel <= most))
            throw UsageError(fmt::format("{}: {:.4g} mm lies outside the damper's travel, 0 to {:.4g} mm",
                                         name, travel * 1e3, most * 1e3));
}

UsageError of_columns(const valve::setup::ColumnsError& error) {
    return UsageError(fmt::format("--columns: {}", error.what()));
}

std::string reason_of(const std::string& message) {
    std::string line = message.substr(0, message.find('\n'));
    const std::string error = ": error: ";
    const std::size_t place_end = line.find(error);
    if (place_end == std::string::npos) return line;
    const std::size_t key_end = line.find(": ", place_end + error.size());
    return line.substr(key_end == std::string::npos ? place_end + error.size() : key_end + 2);
}

} // namespace program
