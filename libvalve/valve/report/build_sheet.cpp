#include <valve/report/build_sheet.hpp>
#include <valve/report/key_words.hpp>
#include <valve/report/sketch.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <array>
#include <string_view>

namespace valve::report {

namespace {

using study::BenchFigure;
using study::BenchItem;

struct ItemWords {
    std::string_view what;
    std::string_view quantity; ///< in JSON
    std::string_view note;
};

// In the order of BenchItem.
constexpr std::array<ItemWords, 15> items{{
    {"seat above the hub face", "length", ""},
    {"float to measure", "length", ""},
    {"coil over the float", "rate", ""},
    {"coil on the closed plate", "force", ""},
    {"out", "count", ""},
    {"oil, kinematic viscosity at 40 °C", "viscosity", ""},
    {"spring of the reservoir", "rate", ""},
    {"reservoir spring at full extension", "force", ""},
    {"gas charge, fully extended", "pressure", "by licensed practice, as the maker's manual says"},
    {"gas volume at full extension", "volume", ""},
    {"oil volume, each leg", "volume", ""},
    {"oil level from the top, each leg", "length", "leg compressed, spring out, cap off"},
    {"air in the leg at full extension", "pressure", ""},
    {"spring rate", "rate", ""},
    {"spring preload", "length", "compression of the spring at full extension"},
}};

const ItemWords& words_of(BenchItem item) {
    return items.at(static_cast<std::size_t>(item));
}

/// "mid-valve"; of a coil's adjuster "mid-valve, coil".
std::string place_words(const std::string& place) {
    constexpr std::string_view coil = ".float";
    if (!place.ends_with(coil)) return valve_words(place);
    return valve_words(place.substr(0, place.size() - coil.size())) + ", coil";
}

std::string shims_text(const stack::Stack& stack) {
    std::vector<std::string> words_of_runs;
    for (const ShimRun& run : runs(stack))
        words_of_runs.push_back(words(run));
    return fmt::format("{}", fmt::join(words_of_runs, ", "));
}

std::string_view reservoir_words(damper::ReservoirKind kind) {
    constexpr std::array<std::string_view, 4> names{"spring-backed piston", "bladder", "gas piston",
                                                    "the leg's air"};
    return names.at(static_cast<std::size_t>(kind));
}

Json shim_run_json(const stack::Stack& stack, const ShimRun& run) {
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

Json difference_json(const setup::Difference& change) {
    return {{"key", change.key},
            {"from", or_null(change.from)},
            {"to", or_null(change.to)},
            {"words", key_words(change.key)},
            {"step", step_words(change)}};
}

Json differences_json(const std::vector<setup::Difference>& changes) {
    Json list = Json::array();
    for (const setup::Difference& change : changes)
        list.push_back(difference_json(change));
    return list;
}

Json stack_json(const study::BenchStack& bench) {
    const stack::Stack& stack = bench.built->stack;
    Json object;
    object["valve"] = bench.valve;
    object["lines"] = Json::array();
    for (const ShimRun& run : runs(stack))
        object["lines"].push_back(shim_run_json(stack, run));
    object["shim_count"] = stack.shims.size();
    object["stack_height_m"] = height_of(stack.shims);
    object["clamp_diameter_m"] = stack.floating ? Json(nullptr) : Json(2.0 * stack.clamp_radius);
    const bool bends_on_rings = stack.floating && !stack.disc; // a disc may be held anywhere
    object["stop_diameter_m"] = bends_on_rings ? Json(2.0 * stack.floating->stop_radius) : Json(nullptr);
    object["spring_diameter_m"] = bends_on_rings ? Json(2.0 * stack.floating->spring_radius) : Json(nullptr);
    object["changed"] = bench.changed();
    object["as_found"] = bench.other_shims() ? shims_text(bench.found->stack) : "";
    object["as_found_lines"] = Json::array();
    if (bench.other_shims())
        for (const ShimRun& run : runs(bench.found->stack))
            object["as_found_lines"].push_back(shim_run_json(bench.found->stack, run));
    object["words"] = valve_words(bench.valve);
    object["is_new"] = bench.is_new;
    object["other_changes"] = differences_json(bench.others);
    return object;
}

Json figure_json(const BenchFigure& figure) {
    return {{"what", words(figure)},
            {"quantity", words_of(figure.item).quantity},
            {"value", figure.value},
            {"note", note(figure)},
            {"changed", figure.changed()},
            {"as_found", or_null(figure.as_found)},
            {"is_new", figure.is_new},
            {"sleeve_m", or_null(figure.sleeve)},
            {"shims_on_sleeve_m", figure.sleeve ? Json(figure.shims_height) : Json(nullptr)}};
}

Json reservoir_json(const std::optional<study::BenchReservoir>& reservoir) {
    if (!reservoir) return nullptr;
    return {{"kind", damper::name(reservoir->built)},
            {"words", reservoir_words(reservoir->built)},
            {"changed", reservoir->found.has_value()},
            {"comes_out", reservoir->found ? Json(reservoir_words(*reservoir->found)) : Json(nullptr)}};
}

} // namespace

std::string words(const BenchFigure& figure) {
    std::string text(words_of(figure.item).what);
    if (figure.item == BenchItem::adjuster) text = figure.steps + " out";
    if (!figure.place.empty()) text += ", " + place_words(figure.place);
    if (figure.each_leg) text += ", each leg";
    return text;
}

std::string note(const BenchFigure& figure) {
    if (figure.item == BenchItem::adjuster) return fmt::format("of {}", figure.range);
    if (figure.sleeve)
        return fmt::format("a sleeve of {} mm under the stop gives it, with {} mm of shims on it",
                           fixed(*figure.sleeve * 1e3, 2), fixed(figure.shims_height * 1e3, 2));
    if (figure.has_adjuster) return "at the turns below";
    return std::string(words_of(figure.item).note);
}

Json json(const study::BuildSheet& sheet) {
    Json object;
    object["valves"] = Json::array();
    for (const study::BenchStack& bench : sheet.stacks)
        object["valves"].push_back(stack_json(bench));
    object["figures"] = Json::array();
    for (const BenchFigure& figure : sheet.figures)
        object["figures"].push_back(figure_json(figure));
    object["changes"] = differences_json(sheet.changes);
    object["reservoir"] = reservoir_json(sheet.reservoir);
    object["comes_out"] = Json::array();
    for (const BenchFigure& figure : sheet.comes_out)
        object["comes_out"].push_back(
            {{"what", words(figure)}, {"quantity", words_of(figure.item).quantity}, {"value", figure.value}});
    object["valves_out"] = Json::array();
    for (const std::string& valve : sheet.valves_out)
        object["valves_out"].push_back(valve_words(valve));
    return object;
}

} // namespace valve::report
