#include <valve/core/error.hpp>
#include <valve/core/units.hpp>
#include <valve/damper/limits.hpp>
#include <valve/report/support.hpp>
#include <valve/report/support_comparison.hpp>
#include <valve/report/text.hpp>
#include <valve/setup/parameter.hpp>
#include <valve/study/choose.hpp>
#include <valve/study/reading.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <tuple>
#include <utility>

#include "command.hpp"
#include "inputs.hpp"
#include "messages.hpp"
#include "whole_file.hpp"

namespace program {

namespace {

using valve::damper::Bounds;
using valve::damper::Chosen;
using valve::study::SupportResult;

struct Options : CommonOptions {
    std::vector<std::string> files;
    std::vector<double> travels; // [m]
    std::optional<double> hit;   // [J]
    std::string rider, sag, free_sag, end_force;
    std::string wheel_sag, free_wheel_sag;     // in place of sag and free_sag
    std::vector<double> rates, preloads, oils; // from, to [N/m], [m], [m³]
    std::vector<double> springs, fills;        // at hand [N/m], [m³]
    std::string output;

    bool chooses() const {
        return !sag.empty() || !free_sag.empty() || !end_force.empty() || !wheel_sag.empty() ||
               !free_wheel_sag.empty();
    }
};

/// What an option says, in SI; `text` may carry a unit. None where it was not given.
std::optional<double> quantity(const std::string& name, const std::string& text, const char* bare_unit) {
    if (text.empty()) return std::nullopt;
    try {
        const double value = valve::parse_quantity(text, bare_unit);
        if (value < 0.0) throw UsageError(fmt::format("{}: '{}' is below 0", name, text));
        return value;
    } catch (const valve::InputError& error) {
        throw UsageError(fmt::format("{}: {}", name, error.what()));
    }
}

void set_bounds(Bounds& bounds, const std::string& name, const std::vector<double>& given) {
    if (given.empty()) return;
    if (given.size() != 2 || given[0] < 0.0 || given[0] > given[1])
        throw UsageError(fmt::format("{}: expected FROM,TO, two values, the smaller first", name));
    bounds = {given[0], given[1]};
}

void require_above_zero(const char* name, const std::vector<double>& stock) {
    if (std::any_of(stock.begin(), stock.end(), [](double value) { return !(value > 0.0); }))
        throw UsageError(fmt::format("{}: expected values above 0", name));
}

/// A sag as an option asks for it.
struct AskedSag {
    const char* name;
    const std::string& text;
};

void require_sag(const AskedSag& asked, double sag, double travel, const char* of) {
    if (!(sag > 0.0 && sag < travel))
        throw UsageError(
            fmt::format("{}: {:.4g} mm; expected more than 0, less than the travel of {:.4g} mm{}",
                        asked.name, sag * 1e3, travel * 1e3, of));
}

/// Along the unit [m]: as `along` asks it, or what it is there where `at_wheel` asks it at the wheel.
std::optional<double> sag_of(const AskedSag& along, const AskedSag& at_wheel,
                             const valve::damper::SetUp& unit) {
    const std::optional<double> sag = quantity(along.name, along.text, "mm");
    const std::optional<double> wheel = quantity(at_wheel.name, at_wheel.text, "mm");
    if (sag && wheel)
        throw UsageError(fmt::format("{}: give this or {}, not both", at_wheel.name, along.name));
    if (sag) require_sag(along, *sag, unit.cartridge.travel, "");
    if (!wheel) return sag;
    if (!unit.support || !unit.support->load)
        throw UsageError(fmt::format("{}: the file says nothing of the wheel (support.load)", at_wheel.name));
    const valve::damper::Linkage linkage(*unit.support->load);
    require_sag(at_wheel, *wheel, linkage.wheel_travel(unit.cartridge.travel), " at the wheel");
    return linkage.at(*wheel).travel;
}

void choose(const Options& options, SupportResult& result) {
    const valve::damper::SetUp& unit = *result.reading.unit;
    const valve::damper::SupportGoal goal{
        sag_of({"--sag", options.sag}, {"--wheel-sag", options.wheel_sag}, unit),
        sag_of({"--free-sag", options.free_sag}, {"--free-wheel-sag", options.free_wheel_sag}, unit),
        quantity("--end-force", options.end_force, "N")};
    for (const auto& [name, stock, other, bounds] :
         {std::tuple{"--springs", &options.springs, "--rates", &options.rates},
          std::tuple{"--fills", &options.fills, "--oils", &options.oils}})
        if (!stock->empty() && !bounds->empty())
            throw UsageError(fmt::format("{}: give this or {}, not both", name, other));
    using valve::damper::or_none;
    if (goal.end_force) require_within("--end-force", {*goal.end_force}, valve::damper::forces);
    require_within("--rates", options.rates, valve::damper::spring_rates);
    require_within("--springs", options.springs, valve::damper::spring_rates);
    require_within("--preloads", options.preloads, or_none(valve::damper::lengths));
    require_within("--oils", options.oils, or_none(valve::damper::volumes));
    require_within("--fills", options.fills, or_none(valve::damper::volumes));
    valve::damper::Buildable limits = valve::damper::buildable(unit);
    set_bounds(limits.rate, "--rates", options.rates);
    if (!(limits.rate.low > 0.0)) throw UsageError("--rates: a spring has a rate above 0");
    set_bounds(limits.preload, "--preloads", options.preloads);
    set_bounds(limits.oil, "--oils", options.oils);
    require_above_zero("--springs", options.springs);
    require_above_zero("--fills", options.fills);
    result.chosen = valve::study::choose_support(unit, goal, limits, {options.springs, options.fills});
    const auto refuse_idle = [&](const char* name, const std::vector<double>& given, Chosen what) {
        const std::vector<Chosen>& chosen = result.chosen->choice.chosen;
        if (!given.empty() && std::find(chosen.begin(), chosen.end(), what) == chosen.end())
            throw UsageError(fmt::format("{}: the options given leave nothing of this to choose", name));
    };
    refuse_idle("--rates", options.rates, Chosen::rate);
    refuse_idle("--springs", options.springs, Chosen::rate);
    refuse_idle("--preloads", options.preloads, Chosen::preload);
    refuse_idle("--oils", options.oils, Chosen::oil);
    refuse_idle("--fills", options.fills, Chosen::oil);
}

/// The file that makes the choice out of the one given, as it would stand beside `beside`.
std::string chosen_file(const Options& options, const SupportResult& result, const std::string& beside) {
    return variant_file(options.files.front(), beside,
                        valve::study::with_choice(*result.reading.written, *result.chosen),
                        result.reading.title + ", spring and oil chosen");
}

void require_goal_where_it_counts(const Options& options) {
    if (options.chooses()) {
        if (options.files.size() > 1)
            throw UsageError("--sag, --free-sag, --end-force: a spring is chosen for one file at a time");
        if (options.csv && options.output.empty())
            throw UsageError("--csv: has the travel alone and no choice: give --json, or -o as well");
        return;
    }
    for (const auto& [name, given] :
         {std::pair{"--rates", !options.rates.empty()}, std::pair{"--preloads", !options.preloads.empty()},
          std::pair{"--oils", !options.oils.empty()}, std::pair{"--springs", !options.springs.empty()},
          std::pair{"--fills", !options.fills.empty()}, std::pair{"--output", !options.output.empty()}})
        if (given)
            throw UsageError(
                fmt::format("{}: belongs to a choice: give --sag, --free-sag or --end-force as well", name));
}

constexpr const char* rider_key = "support.load.rider";

std::vector<SupportResult> results_of(const Options& options) {
    std::vector<valve::setup::Override> of_rider;
    if (const auto rider = quantity("--rider", options.rider, "kg")) {
        const auto limits = valve::setup::parameter(rider_key).limits.value();
        require_within("--rider", {*rider}, {limits.low, limits.high, "kg"});
        of_rider.push_back({rider_key, valve::format_quantity(*rider, "kg"), "--rider"});
    }
    valve::study::SupportOptions asked{{}, options.hit};
    asked.travels = options.travels;

    std::vector<SupportResult> results;
    for (const std::string& file : options.files) {
        const valve::setup::Reading reading = read_and_warn(load(file, options, of_rider));
        if (reading.unit) require_travels("--travels", options.travels, *reading.unit);
        results.push_back(valve::study::support_result(file, reading, asked));
    }
    valve::study::align(results);
    return results;
}

void run(const Options& options, Outcome& outcome) {
    constexpr double most_energy = 1e6; // [J], a lorry's
    if (options.hit && !(*options.hit >= 0.0 && *options.hit <= most_energy))
        throw UsageError(
            fmt::format("--hit: expected an energy from 0 to {:g} J, got {:g}", most_energy, *options.hit));
    if (!options.output.empty())
        check_output("--output", options.output, files_read({options.files}), {options.files.front()});
    require_goal_where_it_counts(options);
    std::vector<SupportResult> results = results_of(options);
    if (options.chooses()) choose(options, results.front());

    std::string file;
    std::string no_file; // why there is none
    if (options.chooses() && (!options.output.empty() || (!options.json && !options.csv))) {
        try {
            file = chosen_file(options, results.front(),
                               options.output.empty() ? options.files.front() : options.output);
        } catch (const valve::InputError& error) {
            no_file = "no set-up can be made of the choice: " + reason_of(error.what());
        }
    }
    if (!options.output.empty() && no_file.empty()) write_whole(options.output, file);

    const bool is_one = results.size() == 1;
    if (options.json) {
        outcome.text = valve::report::written(is_one ? valve::report::json(results.front())
                                                     : valve::report::json(results));
    } else if (options.csv) {
        outcome.text = valve::report::csv(is_one ? valve::report::json(results.front()).at("points")
                                                 : valve::report::points(results));
    } else {
        outcome.text = is_one ? valve::report::text(results.front()) : valve::report::text(results);
        if (!no_file.empty()) {
            outcome.text += "\n" + valve::report::capital(no_file) + "\n";
        } else if (options.chooses()) {
            outcome.text += "\nThe choice as a set-up, rates to 0.01 N/mm, preload to 0.1 mm, oil to 1 ml";
            if (!options.springs.empty() || !options.fills.empty())
                outcome.text += ", what is at hand as it is";
            outcome.text += options.output.empty() ? " (-o FILE.yaml writes it):\n"
                                                   : fmt::format(", {}: written:\n", options.output);
            outcome.text += file;
        }
    }
    if (!options.output.empty() && !no_file.empty()) {
        log_error(fmt::format("--output: nothing is written: {}", no_file));
        outcome.status = no_solution;
    }
}

} // namespace

void add_support(CommandLine& app, Outcome& outcome) {
    const Command command =
        app.add_command("support", "Springs, gas and oil volume against travel; sag, and what to fit");
    const auto options = std::make_shared<Options>();
    command
        .add_arguments("FILES", options->files,
                       "Set-up file; several of one end are compared, a fork and a shock are front and rear")
        .required()
        .option_text(" ");
    const auto list = [&](const char* name, std::vector<double>& values, const char* unit, const char* text,
                          const char* what) {
        command.add_quantities(name, values, unit, what).option_text(text);
    };
    const auto value = [&](const char* name, std::string& text, const char* shape, const char* what) {
        command.add_option(name, text, what).option_text(shape);
    };
    list("--travels", options->travels, "mm", "MM,…",
         "Travels from full extension [mm]; default: even steps");
    command
        .add_option(
            "--hit", [options](const std::string& text) { options->hit = quantity_of("--hit", text, "J"); },
            "Energy that a hit brings [J]; default: 70 % of what the first file takes to full travel")
        .option_text("J");
    value("--rider", options->rider, "KG", "Rider with gear, in place of support.load.rider");
    value("--sag", options->sag, "MM",
          "Choose the spring for this sag with the rider, along the legs or the shock, not at the wheel");
    value("--free-sag", options->free_sag, "MM",
          "Choose the preload for this sag without the rider, along the legs or the shock");
    value("--wheel-sag", options->wheel_sag, "MM",
          "In place of --sag: upright at the wheel, by rake, motion ratio or linkage of the file");
    value("--free-wheel-sag", options->free_wheel_sag, "MM", "In place of --free-sag: the same at the wheel");
    value("--end-force", options->end_force, "N",
          "Choose the oil (of a shock: the preload) for this force at full travel, all legs together");
    list("--rates", options->rates, "N/mm", "FROM,TO",
         "Spring rates to be had [N/mm]; default: half to twice the file's");
    list("--preloads", options->preloads, "mm", "FROM,TO", "Preloads that can be set [mm]; default: 0 to 20");
    list("--oils", options->oils, "ml", "FROM,TO",
         "Oil that may be filled in [ml]; default: 1 to what leaves 1 ml of air at full travel");
    list("--springs", options->springs, "N/mm", "RATE,…", "Springs at hand, in place of --rates [N/mm]");
    list("--fills", options->fills, "ml", "ML,…", "Oil fillings to choose from, in place of --oils [ml]");
    command.add_option("-o,--output", options->output, "Where the choice goes as a set-up, a variant of FILE")
        .option_text("FILE.yaml");
    add_common(command, *options, true);
    command.set_footer(
        "  valve support stacks/rally-fork.yaml --rider 85kg --sag 75mm --free-sag 44mm --end-force 8kN\n"
        "The force carries the weight, its rise to full travel the landing. A few ml of oil act at the\n"
        "end of the travel alone; the spring and its preload act everywhere.",
        "Springs are held under load: release it as the maker's manual says before you open a fork or\n"
        "a shock. Sag is computed at rest and on level ground; measure it before you trust it.");
    command.callback([options, &outcome] { run(*options, outcome); });
}

} // namespace program
