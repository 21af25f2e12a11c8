#include <valve/core/text.hpp>
#include <valve/core/units.hpp>
#include <valve/setup/detail/declarations.hpp>
#include <valve/setup/detail/message.hpp>
#include <valve/setup/detail/node.hpp>
#include <valve/setup/detail/reader.hpp>

#include <fmt/format.h>

#include <memory>
#include <optional>

namespace valve::setup {
namespace {

using damper::Layout;
using damper::ReservoirKind;

/// The choices of an enumeration, under the names that a set-up file knows.
template <class Values>
auto names_of(const Values& values) {
    Names<typename Values::value_type> names;
    for (const auto value : values)
        names.emplace_back(damper::name(value), value);
    return names;
}

/// What the keys of a cup fill.
struct EndCupText {
    damper::EndCup known;
    std::optional<double> entry_gap; // [m]
};

/// {temperature: viscosity, temperature: viscosity}.
void read_viscosity(const Node& map, const std::string& path, std::map<double, double>& viscosity) {
    constexpr const char* expected = "expected two temperatures, e.g. {40 C: 16 mm2/s, 100 C: 3.9 mm2/s}";
    if (map.kind != Node::Kind::map)
        fail(map.place, path, fmt::format("{}, but found {}", expected, described(map)));
    if (map.members.size() != 2) {
        fail(map.place, path, fmt::format("{}, but found {}", expected, map.members.size()));
    }
    for (const Member& member : map.members) {
        Quantity temperature{"C", from_to(-60.0, 200.0), {}, {}};
        double kelvin = 0.0;
        temperature.set = [&kelvin](double value) { kelvin = value; };
        Node key;
        key.kind = Node::Kind::scalar;
        key.place = member.place;
        key.text = member.key;
        read_quantity(key, joined(path, member.key), temperature);
        double kinematic = 0.0;
        const auto set = [&kinematic](double value) { kinematic = value; };
        read_quantity(member.value, joined(path, member.key), Quantity{"mm2/s", above_to(0.0, 1e4), set, {}});
        if (!viscosity.emplace(kelvin, kinematic).second) {
            fail(member.place, joined(path, member.key), "the same temperature twice", map.members[0].place,
                 joined(path, map.members[0].key));
        }
    }
}

Keys ring_leak_keys(damper::RingLeak& leak) {
    return {
        required(quantity("gap", leak.gap, "mm", above_to(0.0, 1.0), "radial, between ring and bore")),
        required(quantity("length", leak.length, "mm", above_to(0.0, 100.0), "of the gap along the bore")),
        quantity("eccentricity", leak.eccentricity, "", from_to(0.0, 1.0), "0 concentric, 1 touching"),
    };
}

Keys dead_length_keys(damper::Cartridge& cartridge) {
    const Range lengths = above_to(0.0, 500.0);
    return {
        quantity("C", cartridge.dead_length_C, "mm", lengths, "oil column left in C at full compression"),
        quantity("R", cartridge.dead_length_R, "mm", lengths, "oil column left in R at full extension"),
    };
}

Keys end_cup_keys(EndCupText& text) {
    const Names<flow::BleedWays> ways{{"both", flow::BleedWays::both}, {"one", flow::BleedWays::one}};
    const Range gaps = from_to(0.0, 20.0);
    damper::EndCup& cup = text.known;
    return {
        required(quantity("plug", cup.plug, "mm", unit_diameters, "diameter of the plug at its thick end")),
        required(quantity("length", cup.length, "mm", above_to(0.0, 500.0),
                          "of the travel over which the plug is in its cup")),
        required(quantity("gap", cup.gap, "mm", gaps, "radial, between cup and the plug's thick end")),
        quantity("entry_gap", text.entry_gap, "mm", gaps, "radial, between cup and the tip of a tapered plug",
                 "gap"),
        quantity("hole", cup.hole, "mm", above_to(0.0, 50.0), "diameter of a hole in the cup or the plug"),
        choice("ways", cup.ways, ways,
               "both: the cup fills the way it empties; one: a check of its own lets the plug leave without "
               "loss"),
        quantity("discharge", cup.discharge, "", above_to(0.0, 1.0),
                 "discharge coefficient of the hole and of the slot at the mouth of the cup"),
        quantity("transition", cup.transition, "", above_to(0.0, 1e6),
                 "flow number where the hole goes over to laminar flow"),
    };
}

/// A cup, read by its own keys, with what a straight plug leaves out.
Key end_cup(const char* name, std::optional<damper::EndCup>& target, const char* doc) {
    const auto read = [&target](const Node& value, const std::string& path, Reader& reader) {
        EndCupText text;
        reader.read(value, path, end_cup_keys(text));
        if (!text.entry_gap) reader.assume(joined(path, "entry_gap"), format_quantity(text.known.gap, "mm"));
        text.known.entry_gap = text.entry_gap.value_or(text.known.gap);
        target = text.known;
    };
    const auto keys = [text = std::make_shared<EndCupText>()] { return end_cup_keys(*text); };
    return form(name, "map", read, doc, keys);
}

Keys cartridge_keys(damper::Cartridge& cartridge) {
    const Names<Layout> layouts = names_of(damper::all_layouts);
    return {
        required(choice("layout", cartridge.layout, layouts, "how the damper is built")),
        required(quantity("bore", cartridge.bore, "mm", unit_diameters,
                          "inner diameter of the tube the piston runs in")),
        required(quantity("rod", cartridge.rod, "mm", unit_diameters, "diameter of the rod")),
        required(quantity("travel", cartridge.travel, "mm", above_to(0.0, 1000.0), "of the rod")),
        map("ring_leak", cartridge.ring_leak, ring_leak_keys, "leakage past the piston ring"),
        map("dead_length", cartridge, dead_length_keys, "oil columns at the ends of the travel"),
        end_cup("end_of_stroke", cartridge.end_of_stroke,
                "a plug that enters a close cup in C at the end of compression"),
        end_cup("top_out", cartridge.top_out, "the same in R, round the rod, at the end of rebound"),
    };
}

Keys reservoir_keys(damper::Reservoir& reservoir) {
    const Names<ReservoirKind> kinds = names_of(damper::all_reservoir_kinds);
    const std::vector<std::string> spring{"spring_piston"};
    const std::vector<std::string> gas{"bladder", "gas_piston"};
    const std::vector<std::string> piston{"spring_piston", "gas_piston"};
    const std::vector<std::string> closed{"spring_piston", "bladder", "gas_piston"};
    return {
        required(choice("kind", reservoir.kind, kinds, "what takes up the oil that the rod displaces")),
        only_for(piston,
                 required(quantity("diameter", reservoir.diameter, "mm", unit_diameters, "of the piston"))),
        only_for(spring,
                 usual(0.05, 200.0, "a spring behind a reservoir's piston has 1 to 20; is it in N/mm?",
                       required(quantity("rate", reservoir.spring_rate, "N/mm", from_to(0.0, 10000.0),
                                         "of the spring behind the piston")))),
        only_for(spring, required(quantity("preload", reservoir.preload, "N", from_to(0.0, 20000.0),
                                           "of the spring at full extension"))),
        only_for(spring, gauge_pressure("back_pressure", reservoir.back_pressure, gas_pressures,
                                        "behind the piston, gauge")),
        only_for(gas,
                 required(quantity("gas_volume", reservoir.gas_volume, "ml", volumes, "at full extension"))),
        only_for(gas, required(gauge_pressure("gas_pressure", reservoir.gas_pressure, gas_pressures,
                                              "at full extension and oil temperature, gauge"))),
        only_for(gas, quantity("exponent", reservoir.exponent, "", gas_exponents, "polytropic, of the gas")),
        only_for(piston, quantity("friction", reservoir.friction, "N", from_to(0.0, 5000.0),
                                  "seal friction of the piston")),
        only_for(piston, usual(0.001, 2.0, "a reservoir's piston has 0.005 to 0.3; is it in kg?",
                               quantity("mass", reservoir.mass, "kg", from_to(0.0, 20.0),
                                        "of the piston; counts in time alone"))),
        only_for(piston, quantity("stroke", reservoir.stroke, "mm", above_to(0.0, 1000.0),
                                  "of the piston, from full extension to its end stop")),
        only_for(closed, quantity("capacity", reservoir.capacity, "ml", volumes,
                                  "oil it can take in from full extension")),
    };
}

/// The valves by place, each read by read_valve().
Keys valves_keys(damper::Valves& valves) {
    using damper::Place;
    const auto valve = [&valves](Place place, std::string doc, std::function<Keys()> keys = {}) {
        const auto read = [&valves, place](const Node& value, const std::string& path, Reader& reader) {
            valves[place] = read_valve(value, path, reader, true);
        };
        return form(std::string(name(place)), "map", read, std::move(doc), std::move(keys));
    };
    return {
        valve(Place::base_compression, "the base valve's stack, which lets the rod's oil out",
              valve_reference_keys()),
        valve(Place::base_refill, "the base's check plate; its keys as of base.compression"),
        valve(Place::piston_compression, "the mid-valve; its keys as of base.compression"),
        valve(Place::piston_rebound, "the rebound stack; its keys as of base.compression"),
    };
}

/// Keys that any file has, those that Document has dealt with among them.
void add_file_keys(Keys& keys, std::string& title, std::string& note, std::string& result) {
    const auto done = [](const Node&, const std::string&, Reader&) {};
    keys.push_back(format_key());
    keys.push_back(form("from", "file name", done, "another set-up, of which this one is a variant"));
    keys.push_back(form("change", "map", done,
                        "dotted keys and their new values; a list is replaced whole, null removes a key"));
    keys.push_back(text("title", title, "one line that names the set-up"));
    keys.back().otherwise = "the file's name";
    keys.push_back(text("note", note, "free text, kept with the set-up"));
    keys.push_back(text("result", result, "free text: what came of it"));
}

Keys oil_keys(flow::Oil& oil) {
    const auto viscosity = [&oil](const Node& value, const std::string& path, Reader&) {
        read_viscosity(value, path, oil.viscosity);
    };
    return {
        required(quantity("density", oil.density_15, "kg/m3", from_to(300.0, 3000.0), "at 15 C")),
        required(form("viscosity", "two points", viscosity,
                      "kinematic, at two temperatures: {40 C: 16 mm2/s, 100 C: 3.9 mm2/s}")),
        quantity("bulk_modulus", oil.bulk_modulus, "GPa", from_to(0.05, 10.0), "of the oil without air"),
        quantity("free_air", oil.free_air, "%", from_to(0.0, 20.0),
                 "share of the volume at atmospheric pressure"),
        quantity("temperature", oil.temperature, "C", from_to(-60.0, 200.0), "at which the unit works"),
        quantity("expansion", oil.expansion, "1/K", from_to(0.0, 0.005), "of the volume with temperature"),
        quantity("cavitation_pressure", oil.cavitation_pressure, "bar", above_to(0.0, 1.0),
                 "absolute, at which a chamber counts as void"),
    };
}

} // namespace

Keys unit_keys(UnitText& text) {
    damper::SetUp& setup = text.setup;
    Keys keys;
    add_file_keys(keys, setup.title, text.note, text.result);
    keys.push_back(required(map("oil", setup.oil, oil_keys, "the oil that fills the damper")));
    keys.push_back(required(map("damper", setup.cartridge, cartridge_keys, "tube, rod and travel")));
    keys.push_back(
        required(map("reservoir", setup.reservoir, reservoir_keys, "what takes up the rod's oil")));
    keys.push_back(required(map("valves", setup.valves, valves_keys, "the valves, by place")));
    const auto support = [&setup](const Node& value, const std::string& path, Reader& reader) {
        setup.support = read_support(value, path, setup.cartridge, reader); // damper comes before it
    };
    keys.push_back(form("support", "map", support, "springs, leg air and friction of the vehicle",
                        support_reference_keys()));
    const auto vehicle = [&text](const Node& value, const std::string& path, Reader& reader) {
        text.vehicle = read_vehicle(value, path, reader);
    };
    keys.push_back(form("vehicle", "map", vehicle,
                        "wheel, tyre and linkage: for rides, the linkage for sag too",
                        vehicle_reference_keys()));
    return keys;
}

Keys lone_valve_keys(LoneValveText& text) {
    const auto valve = [&text](const Node& value, const std::string& path, Reader& reader) {
        text.valve = read_valve(value, path, reader, false);
    };
    Keys keys;
    add_file_keys(keys, text.title, text.note, text.result);
    keys.push_back(map("oil", text.oil, oil_keys, "the oil around the valve"));
    keys.push_back(form("valve", "map", valve,
                        "one valve alone in place of a unit; its keys as of valves.base.compression"));
    return keys;
}

} // namespace valve::setup
