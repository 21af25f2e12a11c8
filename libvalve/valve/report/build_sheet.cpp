#include <valve/core/constants.hpp>
#include <valve/damper/leg_air.hpp>
#include <valve/flow/oil.hpp>
#include <valve/report/adjusters.hpp>
#include <valve/report/build_sheet.hpp>
#include <valve/report/sketch.hpp>
#include <valve/report/text.hpp>
#include <valve/study/reading.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <utility>

namespace valve::report {

namespace {

using Figures = std::vector<BenchFigure>;

std::string_view word(Measure measure) {
    switch (measure) {
    case Measure::length:
        return "length";
    case Measure::volume:
        return "volume";
    case Measure::pressure:
        return "pressure";
    case Measure::force:
        return "force";
    case Measure::rate:
        return "rate";
    case Measure::viscosity:
        return "viscosity";
    case Measure::count:
        return "count";
    }
    return "";
}

std::string shims_text(const stack::Stack& stack) {
    std::vector<std::string> words_of_runs;
    for (const ShimRun& run : runs(stack))
        words_of_runs.push_back(words(run));
    return fmt::format("{}", fmt::join(words_of_runs, ", "));
}

void add_valve(Figures& figures, const std::string& name, const stack::Stack& stack) {
    if (stack.seat.height != 0.0)
        figures.push_back({"seat above the hub face, " + name, Measure::length, stack.seat.height, ""});
    if (!stack.floating) return;
    const stack::Float& coil = *stack.floating;
    std::string sleeve;
    if (!stack.disc)
        sleeve = fmt::format("a sleeve of {} mm under the stop gives it, with {} mm of shims on it",
                             fixed((coil.travel + height(stack)) * 1e3, 2), fixed(height(stack) * 1e3, 2));
    figures.push_back({"float to measure, " + name, Measure::length, coil.travel, sleeve});
    figures.push_back({"coil over the float, " + name, Measure::rate, coil.spring_rate, ""});
    figures.push_back({"coil on the closed plate, " + name, Measure::force, coil.preload,
                       coil.adjuster ? "at the turns below" : ""});
}

void add_reservoir(Figures& figures, const damper::Reservoir& reservoir) {
    switch (reservoir.kind) {
    case damper::ReservoirKind::spring_piston:
        figures.push_back({"spring of the reservoir", Measure::rate, reservoir.spring_rate, ""});
        figures.push_back({"reservoir spring at full extension", Measure::force, reservoir.preload, ""});
        break;
    case damper::ReservoirKind::bladder:
    case damper::ReservoirKind::gas_piston:
        figures.push_back({"gas charge, fully extended", Measure::pressure, reservoir.gas_pressure - p_atm,
                           "by licensed practice, as the maker's manual says"});
        figures.push_back({"gas volume at full extension", Measure::volume, reservoir.gas_volume, ""});
        break;
    case damper::ReservoirKind::leg:
        break; // told with the leg
    }
}

void add_leg(Figures& figures, const damper::Leg& leg, const damper::Cartridge& cartridge) {
    figures.push_back({"oil volume, each leg", Measure::volume, leg.oil_volume, ""});
    if (leg.column) {
        const double depth = oil_depth(leg, cartridge, {});
        if (depth >= 0.0 && depth <= leg.column->length)
            figures.push_back({"oil level from the top, each leg", Measure::length, depth,
                               "leg compressed, spring out, cap off"});
    }
    figures.push_back({"air in the leg at full extension", Measure::pressure, leg.pressure - p_atm, ""});
}

void add_support(Figures& figures, const damper::SetUp& unit) {
    if (!unit.support) return;
    const damper::Support& support = *unit.support;
    if (support.spring) {
        const std::string each = support.legs == 2 ? ", each leg" : "";
        figures.push_back({"spring rate" + each, Measure::rate, support.spring->rate, ""});
        figures.push_back({"spring preload" + each, Measure::length, support.spring->preload,
                           "compression of the spring at full extension"});
    }
    if (support.leg) add_leg(figures, *support.leg, unit.cartridge);
}

Figures figures_of(const setup::Reading& reading) {
    Figures figures;
    for (const auto& [name, valve] : study::valves_of(reading))
        add_valve(figures, name, valve->stack);
    for (const study::Adjuster& adjuster : study::adjusters(reading))
        figures.push_back({fmt::format("{} out, {}", adjuster.steps, adjuster.name), Measure::count,
                           adjuster.setting, fmt::format("of {}", adjuster.range)});
    if (!reading.unit) return figures;
    constexpr double bench_temperature = 313.15; // [K], at which oils are named
    figures.push_back({"oil, kinematic viscosity at 40 °C", Measure::viscosity,
                       flow::kinematic_viscosity(reading.unit->oil, bench_temperature), ""});
    add_reservoir(figures, reading.unit->reservoir);
    add_support(figures, *reading.unit);
    return figures;
}

Json line_json(const stack::Stack& stack, const ShimRun& run) {
    const bool spacer = is_spacer(stack, run.shim);
    return {{"first", run.first + 1},
            {"last", run.first + run.count},
            {"count", run.count},
            {"outer_diameter_m", 2.0 * run.shim.outer_radius},
            {"thickness_m", run.shim.thickness},
            {"part", spacer           ? "spacer"
                     : run.first == 0 ? "face shim"
                                      : "shim"}};
}

Json stack_json(const BenchStack& bench) {
    const stack::Stack& stack = bench.built->stack;
    Json object;
    object["valve"] = bench.valve;
    object["lines"] = Json::array();
    for (const ShimRun& run : runs(stack))
        object["lines"].push_back(line_json(stack, run));
    object["shim_count"] = stack.shims.size();
    object["stack_height_m"] = height(stack);
    object["clamp_diameter_m"] = stack.floating ? Json(nullptr) : Json(2.0 * stack.clamp_radius);
    object["changed"] = !bench.as_found.empty();
    object["as_found"] = bench.as_found;
    return object;
}

} // namespace

BuildSheet build_sheet(const setup::Reading& built, const setup::Reading* found,
                       std::vector<setup::Difference> changes) {
    BuildSheet sheet{{}, figures_of(built), std::move(changes)};
    const std::vector<study::NamedValve> found_valves =
        found == nullptr ? std::vector<study::NamedValve>{} : study::valves_of(*found);
    for (const auto& [name, valve] : study::valves_of(built)) {
        BenchStack bench{name, valve, ""};
        const auto before =
            std::find_if(found_valves.begin(), found_valves.end(),
                         [&name = name](const study::NamedValve& one) { return one.name == name; });
        if (before != found_valves.end() && before->valve->stack.shims != valve->stack.shims)
            bench.as_found = shims_text(before->valve->stack);
        sheet.stacks.push_back(bench);
    }
    if (found == nullptr) return sheet;
    const Figures found_figures = figures_of(*found);
    for (BenchFigure& figure : sheet.figures) {
        const auto before = std::find_if(found_figures.begin(), found_figures.end(),
                                         [&](const BenchFigure& other) { return other.what == figure.what; });
        if (before != found_figures.end()) figure.as_found = before->value;
    }
    return sheet;
}

Json json(const BuildSheet& sheet) {
    Json object;
    object["valves"] = Json::array();
    for (const BenchStack& bench : sheet.stacks)
        object["valves"].push_back(stack_json(bench));
    object["figures"] = Json::array();
    for (const BenchFigure& figure : sheet.figures)
        object["figures"].push_back({{"what", figure.what},
                                     {"quantity", word(figure.measure)},
                                     {"value", figure.value},
                                     {"note", figure.note},
                                     {"changed", figure.changed()},
                                     {"as_found", or_null(figure.as_found)}});
    object["changes"] = Json::array();
    for (const setup::Difference& change : sheet.changes)
        object["changes"].push_back(
            {{"key", change.key}, {"from", or_null(change.from)}, {"to", or_null(change.to)}});
    return object;
}

} // namespace valve::report
