#include <valve/core/constants.hpp>
#include <valve/report/assumptions.hpp>
#include <valve/report/lift_fields.hpp>
#include <valve/report/modes.hpp>
#include <valve/report/sketch.hpp>
#include <valve/report/text.hpp>
#include <valve/stack/solution.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <set>
#include <vector>

namespace valve::report {

namespace {

const stack::Mode* lowest(const study::ModesResult& result) {
    const stack::Mode* found = nullptr;
    for (const stack::Mode& mode : result.modes->modes) {
        const std::optional<double> frequency = study::working_frequency(result, mode);
        if (frequency && (found == nullptr || *frequency < *study::working_frequency(result, *found)))
            found = &mode;
    }
    return found;
}

/// How a mode near to something shows itself, and what its range stands on.
struct ShownBy {
    std::string_view effect;
    std::string_view basis;
};

ShownBy shown_by(study::Shaker shaker) {
    switch (shaker) {
    case study::Shaker::rod_and_wheel:
        return {"felt: the stack lags behind the pressure, the damper answers late or chatters",
                "body 1 to 3 Hz, wheel 8 to 20 Hz"};
    case study::Shaker::engine_and_tyre:
        return {"felt: a buzz in bars and pegs that comes and goes with engine or road speed",
                "two orders of an engine up to 9000 rpm; knobs 50 mm apart up to 30 m/s"};
    case study::Shaker::flow:
        return {"heard, hardly felt: a hiss, and a whistle or squeal where the stack rings with the jet",
                "what oil at a valve sounds like, a broad noise in these octaves"};
    }
    return {};
}

std::string hertz(double frequency) {
    return fixed(frequency, frequency < 100.0 ? 1 : 0);
}

std::string named(const stack::Mode& mode) {
    return fmt::format("{} nodal diameter{}, family {}", mode.nodal_diameters,
                       mode.nodal_diameters == 1 ? "" : "s", mode.family);
}

std::string lowest_sentence(const study::ModesResult& result) {
    const stack::Mode* mode = lowest(result);
    if (mode == nullptr) return "Nothing vibrates: seat, hub or stop hold the disc.";
    if (!result.temperature)
        return fmt::format(
            "Lowest in air: {} Hz ({}). The file gives no oil, so there are no frequencies in oil.",
            hertz(*mode->frequency_air), named(*mode));
    return fmt::format("Lowest in oil: {} Hz ({}); in air {} Hz.", hertz(*mode->frequency_oil), named(*mode),
                       hertz(*mode->frequency_air));
}

/// Which modes lie near what, and what that would sound or feel like.
std::string near_sentences(const study::ModesResult& result) {
    std::string text;
    std::string clear;
    for (const study::Excitation& excitation : study::excitations) {
        const std::string range =
            fmt::format("{} ({} to {} Hz)", name(excitation.shaker), excitation.from, excitation.to);
        std::vector<double> near;
        for (const stack::Mode& mode : result.modes->modes)
            if (study::near_to(result, mode) == &excitation)
                near.push_back(*study::working_frequency(result, mode));
        if (near.empty()) {
            clear += (clear.empty() ? "" : " or ") + range;
            continue;
        }
        std::sort(near.begin(), near.end());
        std::vector<std::string> frequencies;
        for (const double frequency : near)
            frequencies.push_back(hertz(frequency));
        text += fmt::format("Near {} {} {} Hz; {}. ", range, near.size() == 1 ? "lies" : "lie",
                            listed(frequencies), shown_by(excitation.shaker).effect);
    }
    if (!clear.empty()) text += fmt::format("Nothing lies near {}. ", clear);
    return text + "The ranges are common practice, no source.";
}

std::string buckling_sentence(const study::ModesResult& result) {
    std::set<int> diameters;
    for (const stack::Mode& mode : result.modes->modes)
        if (!mode.frequency_air) diameters.insert(mode.nodal_diameters);
    if (diameters.empty()) return "";
    std::vector<std::string> counts;
    for (const int n : diameters)
        counts.push_back(fmt::format("{}", n));
    return fmt::format(
        "With {} nodal diameters there is no lowest frequency: at this lift the rim is pressed "
        "together so much that the round shape is not stable but buckles into waves. The lift "
        "curve takes it for round; do not trust it here.",
        listed(counts));
}

/// The state about which a stack vibrates, and what is left out, in sentences.
std::string basis(const study::ModesResult& result) {
    std::string text = "State: ";
    if (result.options.pressure) {
        std::vector<std::string> held;
        if (result.modes->on_seat) held.emplace_back("seat");
        if (result.modes->on_hub) held.emplace_back("hub");
        if (result.modes->on_stop) held.emplace_back("stop");
        text +=
            fmt::format("at {} bar, {}, {}", bar(*result.options.pressure),
                        held.empty() ? "off its seat" : "on its " + listed(held), stack::name(result.theory));
    } else {
        text += "just lifted off its seat, unbent, shims touching where they lie on one another";
    }
    text += fmt::format("; {}. Shims that touch one another move as one.", words(result.valve.stack.edge));
    if (result.temperature)
        text += fmt::format(
            " Oil: {} kg/m³ at {} °C, at rest and unbounded on both faces. The piston's wall, the flow and "
            "the films between shims that have parted are left out; near the seat they make a stack slower "
            "than computed.",
            fixed(result.options.oil_density, 0), fixed(*result.temperature - zero_celsius, 0));
    return text;
}

Table table_of(const study::ModesResult& result) {
    Table table(
        {{"nodal", "diameters"}, {"family", ""}, {"in air", "Hz"}, {"in oil", "Hz"}, {"near", "", true}});
    const auto cell = [](const std::optional<double>& frequency, std::string_view none) {
        return frequency ? hertz(*frequency) : std::string(none);
    };
    for (const stack::Mode& mode : result.modes->modes) {
        const study::Excitation* near = study::near_to(result, mode);
        const std::string_view none = mode.frequency_air ? "-" : "buckles";
        table.add({fmt::format("{}", mode.nodal_diameters), fmt::format("{}", mode.family),
                   cell(mode.frequency_air, none), cell(mode.frequency_oil, none),
                   std::string(near != nullptr ? name(near->shaker) : "")});
    }
    return table;
}

} // namespace

Json json(const study::ModesResult& result) {
    const auto held = [&](bool stack::Modes::*member) {
        return result.modes ? Json(*result.modes.*member) : Json(nullptr);
    };
    Json object;
    object["valve"] = result.name;
    object["theory"] = stack::name(result.theory);
    object["edge"] = words(result.valve.stack.edge);
    object["state"] = result.options.pressure ? "at pressure" : "just lifted, unbent";
    object["pressure_Pa"] = or_null(result.options.pressure);
    object["on_seat"] = held(&stack::Modes::on_seat);
    object["on_hub"] = held(&stack::Modes::on_hub);
    object["on_stop"] = held(&stack::Modes::on_stop);
    object["oil_density_kg_m3"] = result.temperature ? Json(result.options.oil_density) : Json(nullptr);
    object["oil_temperature_K"] = or_null(result.temperature);
    object["no_oil_because"] = result.temperature ? Json(nullptr) : Json("the file gives no oil");
    object["error"] = result.error.empty() ? Json(nullptr) : Json(result.error);
    object["modes"] = Json::array();
    if (result.modes)
        for (const stack::Mode& mode : result.modes->modes) {
            Json row;
            add_fields(row, mode_fields(), {&mode, study::near_to(result, mode)});
            object["modes"].push_back(row);
        }
    object["excitations"] = Json::array();
    for (const study::Excitation& excitation : study::excitations)
        object["excitations"].push_back(
            {{"name", name(excitation.shaker)},
             {"from_Hz", excitation.from},
             {"to_Hz", excitation.to},
             {"effect", shown_by(excitation.shaker).effect},
             {"basis", fmt::format("common practice, no source: {}", shown_by(excitation.shaker).basis)}});
    return object;
}

std::string text(const study::ModesResult& result) {
    std::string out = result.name + "\n";
    if (!result.modes) return out + "No natural frequencies: " + result.error + "\n";
    for (const std::string& paragraph :
         {lowest_sentence(result), result.modes->modes.empty() ? "" : near_sentences(result),
          buckling_sentence(result), basis(result)})
        if (!paragraph.empty()) out += wrapped(paragraph, page_columns, "") + "\n";
    out += "\n" + sketch(result.valve.stack);
    if (!result.modes->modes.empty()) out += "\n" + table_of(result).text();
    return out;
}

} // namespace valve::report
