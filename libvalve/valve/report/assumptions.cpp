#include <valve/motion/swings.hpp>
#include <valve/report/assumptions.hpp>
#include <valve/report/text.hpp>
#include <valve/study/cycle.hpp>

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <numbers>
#include <optional>

namespace valve::report {

std::string_view words(stack::InnerEdge edge) {
    switch (edge) {
    case stack::InnerEdge::clamped:
        return "clamped";
    case stack::InnerEdge::free:
        return "free edge";
    case stack::InnerEdge::guided:
        return "guided edge";
    }
    return "";
}

std::string words(stack::Theory theory, bool bends) {
    std::string text(stack::name(theory));
    if (theory == stack::Theory::large_deflection)
        text += bends ? ", as they bend round the ring" : ", taken for round";
    return text;
}

std::string_view shape_name(bool bends) {
    return bends ? "as it bends" : "round";
}

std::string_view words(stack::RestsOn rests_on) {
    return rests_on == stack::RestsOn::hub ? "hub" : "seat";
}

std::string_view port_pattern(const stack::Stack& stack) {
    if (stack.windows > 0) return "windows";
    return stack.coverage < 1.0 ? "unknown" : "ring";
}

std::string port_pattern_words(const stack::Stack& stack) {
    if (stack.windows > 0)
        return fmt::format("{} windows of {:.3g}°, evenly round the ring", stack.windows,
                           180.0 / std::numbers::pi * window_arc(stack));
    return stack.coverage < 1.0
               ? "how they lie round the ring is not known (ports.arc or ports.diameter say it)"
               : "joined by a recess, so that the whole ring is loaded";
}

double window_arc(const stack::Stack& stack) {
    return 2.0 * std::numbers::pi * stack.coverage / stack.windows;
}

std::string floated_valves(const damper::SetUp& unit) {
    std::vector<std::string> floated;
    for (const damper::Place place : damper::all_places) {
        const std::optional<flow::Valve>& valve = unit.valves[place];
        if (valve && valve->stack.floating && !valve->stack.disc)
            floated.push_back(fmt::format("{} ({}, rests on {})", damper::name(place),
                                          words(valve->stack.edge), words(valve->stack.floating->rests_on)));
    }
    return listed(floated);
}

Json json(const std::vector<damper::Place>& places) {
    Json list = Json::array();
    for (const damper::Place place : places)
        list.push_back(damper::name(place));
    return list;
}

std::string left_round_words(const std::vector<damper::Place>& places) {
    if (places.empty()) return "";
    std::vector<std::string> names;
    for (const damper::Place place : places)
        names.emplace_back(damper::name(place));
    return fmt::format("{} {} into waves that were not found, and {} taken for round.", listed(names),
                       names.size() > 1 ? "buckle" : "buckles", names.size() > 1 ? "are" : "is");
}

std::string swinging_words(const std::vector<std::string>& valves, std::string_view told,
                           std::string_view run) {
    return fmt::format(
        "forces are more than {:.0f} % above the steady ones, and valves swing by more than {:.0f} % of "
        "their largest lift: {}.{} Little damps them: oil in their ports does (ports.length; a disc has none "
        "unless it is given), friction between shims does not hold what a blow has started; with "
        "quasi-static valves the same {} has no swinging.",
        study::far_above_steady * 100.0, motion::swing_share * 100.0, fmt::join(valves, ", "), told, run);
}

std::vector<std::string> open_balances(const motion::Balance& balance, double most_energy) {
    constexpr double most_mass = 1e-10;
    std::vector<std::string> list;
    if (balance.mass > most_mass)
        list.push_back(fmt::format("the balance of oil is open by {:.1e}.", balance.mass));
    if (balance.energy > most_energy)
        list.push_back(fmt::format("the balance of energy is open by {:.1e}.", balance.energy));
    return list;
}

std::string_view rod_into(const damper::SetUp& unit, damper::RodInto asked) {
    if (unit.cartridge.layout == damper::Layout::open_cartridge) return "reservoir";
    return asked == damper::RodInto::leg ? "leg" : "atmosphere";
}

std::string_view rod_into_words(const damper::SetUp& unit, damper::RodInto asked) {
    if (unit.cartridge.layout == damper::Layout::open_cartridge) return "leg, at the pressure of its air";
    return asked == damper::RodInto::leg ? "leg's air" : "atmosphere";
}

Json json(const std::vector<setup::DefaultUsed>& defaults) {
    Json list = Json::array();
    for (const setup::DefaultUsed& used : defaults)
        list.push_back({{"key", used.key}, {"value", used.value}});
    return list;
}

std::string defaults_line(const std::vector<setup::DefaultUsed>& defaults) {
    if (defaults.empty()) return "";
    return fmt::format("{} values are defaults, not the file's: `valve inspect` lists them.\n",
                       defaults.size());
}

} // namespace valve::report
