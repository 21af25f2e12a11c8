#include <valve/report/adjusters.hpp>
#include <valve/report/assumptions.hpp>
#include <valve/report/end_cups.hpp>
#include <valve/report/inspection.hpp>
#include <valve/report/sketch.hpp>
#include <valve/report/support.hpp>
#include <valve/report/text.hpp>
#include <valve/report/unevenness.hpp>
#include <valve/report/warning_words.hpp>
#include <valve/study/ports.hpp>
#include <valve/study/reading.hpp>
#include <valve/study/stress.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <string_view>
#include <utility>
#include <variant>
#include <vector>

namespace valve::report {

namespace {

std::string_view describe(damper::Layout layout) {
    switch (layout) {
    case damper::Layout::closed_cartridge:
        return "closed cartridge";
    case damper::Layout::open_cartridge:
        return "open cartridge";
    case damper::Layout::monotube:
        return "monotube";
    case damper::Layout::twin_tube:
        return "twin tube";
    }
    return "";
}

std::string_view describe(damper::ReservoirKind kind) {
    switch (kind) {
    case damper::ReservoirKind::spring_piston:
        return "spring-backed piston";
    case damper::ReservoirKind::bladder:
        return "bladder";
    case damper::ReservoirKind::gas_piston:
        return "gas behind a piston";
    case damper::ReservoirKind::leg:
        return "the outer leg";
    }
    return "";
}

std::string trimmed(double value) {
    return fmt::format("{:.4g}", value);
}

std::string kind_words(const flow::Bleed& bleed) {
    if (const auto* needle = std::get_if<flow::Needle>(&bleed))
        return fmt::format("needle, {} of {} clicks out from closed, seat Ø {}", trimmed(needle->clicks),
                           trimmed(needle->range), trim_mm(needle->seat_diameter));
    if (const auto* hole = std::get_if<flow::Hole>(&bleed))
        return fmt::format("{} x Ø {}", hole->count, trim_mm(hole->diameter));
    const auto& notch = std::get<flow::Notch>(bleed);
    return fmt::format("{} mm², {}", trimmed(notch.area * 1e6),
                       notch.depth ? fmt::format("slots {} mm deep", trimmed(*notch.depth * 1e3))
                                   : "taken for one round hole");
}

std::string describe(const flow::Valve& valve) {
    return kind_words(*valve.bleed) +
           (valve.bleed_ways == flow::BleedWays::one ? ", with its own check" : "");
}

std::string describe(const stack::Float& coil) {
    std::string text = fmt::format("coil {} N/mm, {} N on the {}", trimmed(coil.spring_rate * 1e-3),
                                   trimmed(coil.preload), words(coil.rests_on));
    if (coil.adjuster)
        text += fmt::format(" at {} of {} turns out", trimmed(coil.adjuster->turns),
                            trimmed(coil.adjuster->range));
    return text;
}

std::string describe(const plate::Material& material) {
    std::string text = fmt::format("E {} GPa, nu {}, {} kg/m³", trimmed(material.youngs_modulus * 1e-9),
                                   trimmed(material.poisson_ratio), trimmed(material.density));
    if (material.yield_strength)
        text += fmt::format(", yield {} MPa", trimmed(*material.yield_strength * 1e-6));
    if (material.fatigue_limit)
        text += fmt::format(", fatigue {} MPa", trimmed(*material.fatigue_limit * 1e-6));
    return text;
}

std::string trimmed_percent(double share) {
    return fmt::format("{:.3g}", share * 100.0);
}

int face_shims(const stack::Stack& stack) {
    const std::vector<ShimRun> all = runs(stack);
    return all.empty() ? 0 : all.front().count;
}

std::optional<damper::Place> place_of(const std::string& name) {
    for (const damper::Place place : damper::all_places)
        if (name == damper::name(place)) return place;
    return std::nullopt;
}

std::string unit_text(const damper::SetUp& unit) {
    const damper::Cartridge& c = unit.cartridge;
    std::string out = fmt::format("{}: bore {}, rod {}, travel {} mm\n", describe(c.layout), trim_mm(c.bore),
                                  trim_mm(c.rod), trim_mm(c.travel));
    const damper::Reservoir& r = unit.reservoir;
    out += fmt::format("reservoir: {}", describe(r.kind));
    if (r.kind == damper::ReservoirKind::spring_piston)
        out += fmt::format(", Ø {} mm, {} N + {} N/mm, seal friction {} N", trim_mm(r.diameter),
                           trimmed(r.preload), trimmed(r.spring_rate * 1e-3), trimmed(r.friction));
    if (r.kind == damper::ReservoirKind::bladder || r.kind == damper::ReservoirKind::gas_piston)
        out +=
            fmt::format(", {} ml of gas at {} bar gauge", trimmed(r.gas_volume * 1e6), gauge(r.gas_pressure));
    out += "\n";
    for (const std::string& cup : end_cup_lines(c))
        out += wrapped(cup, page_columns, "  ") + "\n";
    if (unit.support) out += wrapped("support: " + summary(*unit.support), page_columns, "  ") + "\n";
    return out;
}

/// Ports beside the areas they serve.
std::string port_text(const study::PortAreas& areas) {
    return fmt::format(
        "; they are {} % of the piston and {} % of the rod: oil at {} m/s in them for 1 m/s of rod",
        trimmed_percent(areas.of_piston), trimmed_percent(areas.of_rod), fixed(areas.speed_up, 1));
}

std::string valve_text(const std::string& name, const flow::Valve& valve, const damper::SetUp* unit) {
    const stack::Stack& stack = valve.stack;
    std::string metal;
    if (stack.disc) {
        metal += "rigid disc on a coil";
    } else {
        const auto count = static_cast<int>(stack.shims.size());
        const int face = face_shims(stack);
        metal += fmt::format("{} shim{}", count, count == 1 ? "" : "s");
        if (face < count) metal += fmt::format(" ({} face shim{})", face, face == 1 ? "" : "s");
        metal += fmt::format(", {} mm high", fixed(height_of(stack.shims) * 1e3, 2));
    }
    if (stack.disc) {
        metal += fmt::format(", lifts {} mm; {}", trim_mm(stack.floating->travel), describe(*stack.floating));
    } else if (stack.floating) {
        metal += fmt::format("; floats {} mm, {}, rests on {}; {}", trim_mm(stack.floating->travel),
                             words(stack.edge), words(stack.floating->rests_on), describe(*stack.floating));
    }
    std::string out = name + "\n  " + wrapped(metal, page_columns - 4, "    ");
    std::string ports =
        fmt::format("ports {} x {} mm² = {} mm², {} % of the ring open", valve.ports.count,
                    trimmed(valve.ports.area_each * 1e6),
                    trimmed(valve.ports.count * valve.ports.area_each * 1e6), percent(stack.coverage));
    ports += ": " + port_pattern_words(stack);
    if (const std::optional<damper::Place> place = place_of(name); unit != nullptr && place)
        ports += port_text(study::port_areas(*unit, *place));
    if (valve.bleed) ports += "; bleed " + describe(valve);
    out += "\n  " + wrapped(ports, page_columns - 4, "    ");
    return out + "\n\n" + sketch(stack) + "\n";
}

/// Materials in use, each once, with the valves whose shims are cut from it.
std::string material_text(const setup::Reading& reading) {
    std::vector<std::pair<plate::Material, std::vector<std::string>>> materials;
    for (const auto& [name, valve] : study::valves_of(reading))
        for (const stack::Shim& shim : valve->stack.shims) {
            auto found = std::find_if(materials.begin(), materials.end(),
                                      [&](const auto& known) { return known.first == shim.material; });
            if (found == materials.end()) found = materials.insert(found, {shim.material, {}});
            if (found->second.empty() || found->second.back() != name) found->second.push_back(name);
        }
    std::string out;
    for (const auto& [material, names] : materials)
        out += wrapped(fmt::format("Strip: {}{} in {}.", describe(material),
                                   material == plate::Material{} ? " (default)" : "", listed(names)),
                       page_columns, "  ") +
               "\n";
    return out;
}

/// Every default; those that all valves of a damper share are said once.
std::string defaults_text(const setup::Reading& reading) {
    if (reading.defaults.empty()) return "";
    const std::vector<study::NamedValve> valves = study::valves_of(reading);
    const auto has = [&](const std::string& key, const std::string& value) {
        return std::any_of(
            reading.defaults.begin(), reading.defaults.end(),
            [&](const setup::DefaultUsed& used) { return used.key == key && used.value == value; });
    };
    std::string each;
    std::string single;
    for (const setup::DefaultUsed& used : reading.defaults) {
        // "valves.base.refill.edge" is the key "edge" of the valve "base.refill".
        const auto owner = std::find_if(valves.begin(), valves.end(), [&](const study::NamedValve& valve) {
            return used.key.rfind("valves." + valve.name + ".", 0) == 0;
        });
        const bool shared =
            valves.size() > 1 && owner != valves.end() &&
            std::all_of(valves.begin(), valves.end(), [&](const study::NamedValve& valve) {
                return has("valves." + valve.name + used.key.substr(7 + owner->name.size()), used.value);
            });
        if (!shared) {
            single += fmt::format("  {}: {}\n", used.key, used.value);
        } else if (owner == valves.begin()) {
            each += fmt::format("    {}: {}\n", used.key.substr(8 + owner->name.size()), used.value);
        }
    }
    std::string out =
        "\nDefaults used, since the file gives no value (write the line to change one)\n" + single;
    if (!each.empty()) out += "  each of the valves (valves.NAME.…)\n" + each;
    return out;
}

/// What the file leaves out, and what it gives that no answer rests on so far.
std::string absent_text(const study::Inspection& inspection) {
    std::vector<std::string> keys;
    for (const setup::DefaultUsed& part : inspection.absent)
        keys.push_back(part.key);
    std::string out;
    if (!keys.empty())
        out +=
            wrapped("None, since the file leaves it out: " + listed(keys) + ".", page_columns, "  ") + "\n";
    if (!inspection.unused.empty())
        out +=
            wrapped(fmt::format("In time alone (cycle, ride) count {}; steady answers do not rest on them.",
                                listed(inspection.unused)),
                    page_columns, "  ") +
            "\n";
    return out;
}

Json valve_json(const flow::Valve& valve) {
    const stack::Stack& stack = valve.stack;
    Json object;
    object["shim_count"] = stack.shims.size();
    object["face_shims"] = face_shims(stack);
    object["stack_height_m"] = height_of(stack.shims);
    object["shims"] = Json::array();
    for (const ShimRun& run : runs(stack)) {
        Json shim;
        shim["count"] = run.count;
        shim["outer_diameter_m"] = 2.0 * run.shim.outer_radius;
        shim["thickness_m"] = run.shim.thickness;
        shim["youngs_modulus_Pa"] = run.shim.material.youngs_modulus;
        shim["poisson_ratio"] = run.shim.material.poisson_ratio;
        shim["density_kg_m3"] = run.shim.material.density;
        object["shims"].push_back(shim);
    }
    object["clamp_diameter_m"] = 2.0 * stack.clamp_radius;
    object["seat_inner_diameter_m"] = 2.0 * stack.seat.inner_radius;
    object["seat_outer_diameter_m"] = 2.0 * stack.seat.outer_radius;
    object["seat_height_m"] = stack.seat.height;
    object["zone_inner_diameter_m"] = 2.0 * stack.zone.inner_radius;
    object["zone_outer_diameter_m"] = 2.0 * stack.zone.outer_radius;
    object["coverage"] = stack.coverage;
    object["port_pattern"] = port_pattern(stack);
    object["window_arc_rad"] = stack.windows > 0 ? Json(window_arc(stack)) : Json(nullptr);
    object["port_count"] = valve.ports.count;
    object["port_area_m2"] = valve.ports.area_each;
    object["edge"] = words(stack.edge);
    object["float"] = nullptr;
    if (stack.floating) {
        const stack::Float& f = *stack.floating;
        Json floating;
        floating["travel_m"] = f.travel;
        floating["rate_N_m"] = f.spring_rate;
        floating["preload_N"] = f.preload;
        floating["spring_diameter_m"] = 2.0 * f.spring_radius;
        floating["stop_diameter_m"] = 2.0 * f.stop_radius;
        floating["rests_on"] = words(f.rests_on);
        floating["turns"] = f.adjuster ? Json(f.adjuster->turns) : Json(nullptr);
        object["float"] = floating;
    }
    object["bleed"] = valve.bleed ? Json(describe(valve)) : Json(nullptr);
    return object;
}

} // namespace

Json json(const study::Inspection& inspection) {
    const setup::Reading& reading = inspection.reading;
    Json object;
    object["title"] = reading.title;
    object["file"] = inspection.file;
    object["layout"] = reading.unit ? Json(describe(reading.unit->cartridge.layout)) : Json(nullptr);
    object["note"] = reading.note;
    object["result"] = reading.result;
    object["valves"] = Json::array();
    for (const auto& [name, valve] : study::valves_of(reading)) {
        Json entry;
        entry["valve"] = name;
        entry.update(valve_json(*valve));
        const std::optional<damper::Place> place = place_of(name);
        const bool in_unit = reading.unit && place;
        const study::PortAreas areas =
            in_unit ? study::port_areas(*reading.unit, *place) : study::PortAreas{};
        const auto value = [&](double number) { return in_unit ? Json(number) : Json(nullptr); };
        entry["ports_area_m2"] = value(areas.ports);
        entry["ports_to_piston"] = value(areas.of_piston);
        entry["ports_to_rod"] = value(areas.of_rod);
        entry["port_speed_by_rod_speed"] = value(areas.speed_up);
        object["valves"].push_back(entry);
    }
    object["adjusters"] = Json::array();
    for (const study::Adjuster& adjuster : study::adjusters(reading))
        object["adjusters"].push_back({{"name", adjuster.name},
                                       {"key", adjuster.key},
                                       {"setting", adjuster.setting},
                                       {"of", adjuster.range},
                                       {"steps", adjuster.steps}});
    object["defaults"] = json(reading.defaults);
    for (const setup::DefaultUsed& part : inspection.absent)
        object["defaults"].push_back({{"key", part.key}, {"value", part.value}});
    object["unused"] = inspection.unused;
    object["warnings"] = reading.warnings;
    for (const std::string& warning : sentences(inspection.stress_warnings))
        object["warnings"].push_back(warning);
    object["warned"] = values(inspection.stress_warnings);
    object["not_round"] = json(inspection.not_round);
    return object;
}

std::string text(const study::Inspection& inspection) {
    const setup::Reading& reading = inspection.reading;
    std::string out = fmt::format("{}\n{}\n", reading.title, inspection.file);
    if (!reading.note.empty()) out += "note: " + wrapped(reading.note, page_columns - 6, "      ") + "\n";
    if (!reading.result.empty())
        out += "result: " + wrapped(reading.result, page_columns - 8, "        ") + "\n";
    if (reading.unit) out += unit_text(*reading.unit);
    out += "\n";
    for (const auto& [name, valve] : study::valves_of(reading))
        out += valve_text(name, *valve, reading.unit ? &*reading.unit : nullptr);
    out +=
        "The drawings are half-sections: the axis at the left, the piston face at the bottom, shim 1 on it.\n"
        "Widths are to scale; an eighth of a line is 0.05 mm of shim.\n\n";
    if (const std::string set = settings(study::adjusters(reading)); !set.empty())
        out += wrapped("Adjusters, counted out from fully in: " + set + ".", page_columns, "  ") + "\n";
    out += material_text(reading);
    out += defaults_text(reading);
    out += absent_text(inspection);
    if (!study::states_limits(reading))
        out += "\nNo strip states a yield strength or a fatigue limit (material:), so no stress is judged.\n";
    if (!inspection.not_round.empty()) out += "\nStacks that do not stay round\n";
    for (const std::string& bent : sentences(inspection.not_round))
        out += "  " + wrapped(bent + ".", page_columns - 4, "    ") + "\n";
    if (reading.warnings.empty() && inspection.stress_warnings.empty()) return out + "\nNo warnings.\n";
    out += "\nWarnings\n";
    for (const std::string& warning : reading.warnings)
        out += "  " + warning + "\n";
    for (const std::string& warning : sentences(inspection.stress_warnings))
        out += "  " + wrapped(warning + ".", page_columns - 4, "    ") + "\n";
    return out;
}

} // namespace valve::report
