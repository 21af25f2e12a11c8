#include <valve/setup/detail/declarations.hpp>
#include <valve/setup/detail/node.hpp>
#include <valve/setup/detail/reader.hpp>
#include <valve/setup/detail/valve_text.hpp>
#include <valve/setup/shims.hpp>

#include <memory>

namespace valve::setup {
namespace {

using stack::InnerEdge;
using stack::RestsOn;

constexpr Range diameters = above_to(0.0, 200.0); // [mm]

/// `key`, with its defaults only if they count.
Key counts_if(bool counts, Key key) {
    return counts ? std::move(key) : without_default(std::move(key));
}

Keys ports_keys(PortsText& ports) {
    return {
        required(count("count", ports.count, 1, 100, "how many ports feed the stack")),
        quantity("area", ports.area, "mm2", above_to(0.0, 5000.0), "area of each port"),
        quantity("diameter", ports.diameter, "mm", above_to(0.0, 100.0), "of each port, where it is a hole"),
        diameter("inner", ports.inner_radius, diameters, "inner diameter of the kidney windows"),
        diameter("outer", ports.outer_radius, diameters, "outer diameter of the kidney windows"),
        quantity("arc", ports.arc, "deg", above_to(0.0, 360.0), "angle that each kidney window spans"),
        quantity(
            "length", ports.length, "mm", from_to(0.0, 200.0),
            "of a port: its oil has to be sped up, in time alone; below 0.1 mm it follows at once. Where not "
            "given 10 mm before shims, 0 before a disc, whose mass stands for all that moves with it"),
    };
}

Keys zone_keys(stack::Zone& zone) {
    return {
        required(
            diameter("inner", zone.inner_radius, diameters, "where the pressure on the face shim begins")),
        required(diameter("outer", zone.outer_radius, diameters, "where the pressure on the face shim ends")),
    };
}

Keys seat_keys(stack::Seat& seat) {
    return {
        required(diameter("inner", seat.inner_radius, diameters, "inner diameter of the land")),
        required(diameter("outer", seat.outer_radius, diameters,
                          "outer diameter of the land; equal to inner for a knife edge")),
        quantity("height", seat.height, "mm", from_to(0.0, 5.0), "of the land above the hub face (preload)"),
    };
}

Keys adjuster_keys(stack::SpringAdjuster& adjuster) {
    return {
        required(
            quantity("turns", adjuster.turns, "", from_to(0.0, 100.0), "setting, counted out from fully in")),
        required(quantity("per_turn", adjuster.per_turn, "mm", above_to(0.0, 10.0),
                          "what one turn compresses the spring")),
        required(
            quantity("of", adjuster.range, "", above_to(0.0, 100.0), "turns from fully in to fully out")),
    };
}

Keys float_keys(FloatText& floating) {
    const Names<RestsOn> supports{{"hub", RestsOn::hub}, {"seat", RestsOn::seat}};
    return {
        quantity("travel", floating.travel, "mm", above_to(0.0, 20.0), "from the hub to the stop"),
        quantity("sleeve", floating.sleeve, "mm", above_to(0.0, 50.0),
                 "length of the sleeve under the stop; travel is what the shims on it leave"),
        usual(0.01, 300.0, "the coil of a float has 0.2 to 100; is it in N/mm?",
              quantity("rate", floating.known.spring_rate, "N/mm", from_to(0.0, 10000.0),
                       "of the float's spring")),
        quantity("preload", floating.known.preload, "N", from_to(0.0, 10000.0),
                 "of the spring with the stack on its hub, an adjuster turned fully out"),
        map("adjuster", floating.known.adjuster, adjuster_keys,
            "turns the spring in: each turn from fully out adds rate x per_turn to preload"),
        diameter("at", floating.at, diameters, "where the spring and the stop bear on the last shim",
                 "clamp"),
        diameter("spring_at", floating.spring_at, diameters, "where the spring bears", "float.at"),
        diameter("stop_at", floating.stop_at, diameters, "where the stop bears", "float.at"),
        choice("rests_on", floating.known.rests_on, supports,
               "what carries the inner ring of the closed stack"),
    };
}

Keys disc_keys(stack::Disc& disc) {
    return {
        required(diameter("diameter", disc.outer_radius, diameters, "outer diameter of the disc")),
        required(
            quantity("mass", disc.mass, "kg", above_to(0.0, 1.0), "of the disc, and of what moves with it")),
    };
}

Keys discharge_keys(flow::Discharge& discharge) {
    const Range coefficient = above_to(0.0, 1.0);
    const Range transition = above_to(0.0, 1e6);
    return {
        quantity("port", discharge.port, "", coefficient,
                 "discharge coefficient of the ports at high flow number"),
        quantity("curtain", discharge.curtain, "", coefficient, "of the gap under the face shim"),
        quantity("bleed", discharge.bleed, "", coefficient, "of the bleed"),
        quantity("port_transition", discharge.port_transition, "", transition,
                 "flow number where the ports go over to laminar flow"),
        quantity("curtain_transition", discharge.curtain_transition, "", transition,
                 "flow number where the gap goes over to laminar flow"),
        quantity("bleed_transition", discharge.bleed_transition, "", transition,
                 "flow number where the bleed goes over to laminar flow"),
    };
}

Keys needle_keys(flow::Needle& needle) {
    return {
        required(quantity("seat", needle.seat_diameter, "mm", above_to(0.0, 20.0),
                          "diameter of the needle's seat")),
        required(quantity("angle", needle.cone_angle, "deg", above_to(0.0, 170.0), "full angle of the cone")),
        usual(0.005, 0.3, "a click moves a needle by 0.03 to 0.15 mm; is a tenth of this meant?",
              required(quantity("per_click", needle.per_click, "mm", above_to(0.0, 2.0),
                                "axial movement a click"))),
        required(
            quantity("clicks", needle.clicks, "", from_to(0.0, 200.0), "setting, counted out from closed")),
        required(quantity("of", needle.range, "", above_to(0.0, 200.0), "clicks from closed to fully out")),
    };
}

Keys bleed_keys(BleedText& bleed) {
    const Names<flow::BleedWays> ways{{"both", flow::BleedWays::both}, {"one", flow::BleedWays::one}};
    Key hole_count{
        "count", "how many bleed holes", Count{1, 100, [&bleed](int n) { bleed.count = n; }, {}}, false, "1",
        {}};
    return {
        map("needle", bleed.needle, needle_keys, "a conical needle in a round seat"),
        quantity("hole", bleed.hole, "mm", above_to(0.0, 20.0), "diameter of a bleed hole"),
        std::move(hole_count),
        quantity("area", bleed.area, "mm2", above_to(0.0, 100.0),
                 "of a notched face shim or a groove, all its notches together"),
        quantity("depth", bleed.depth, "mm", above_to(0.0, 10.0),
                 "of such notches, as thick as the face shim; without it oil passes them as one round hole"),
        choice(
            "ways", bleed.ways, ways,
            "both: oil passes on either stroke; one: a check of its own lets it pass only the way the valve "
            "opens"),
    };
}

} // namespace

Keys valve_keys(ValveText& text, const ValveParts& parts) {
    const Names<InnerEdge> edges{{"free", InnerEdge::free}, {"guided", InnerEdge::guided}};
    flow::Valve& known = text.known;
    Key ports = map("ports", text.ports, ports_keys, "drillings that feed the stack");
    const auto shims = [&text](const Node& value, const std::string& path, Reader& reader) {
        text.known.stack.shims = read_shims(value, path, text.material, reader);
    };
    return {
        parts.needs_ports ? required(std::move(ports)) : std::move(ports),
        required(map("zone", known.stack.zone, zone_keys, "where the pressure works on the face shim")),
        required(map("seat", known.stack.seat, seat_keys, "the land that the face shim closes on")),
        diameter("clamp", text.clamp_radius, diameters,
                 "of the clamp; of a floated stack the ring that floats", "float.at"),
        choice("edge", text.edge, edges, "inner edge of a floated stack", "free"),
        diameter("bore", text.bore_radius, diameters, "where the metal of a floated stack ends", "clamp"),
        map("float", text.floating, float_keys, "lets the stack lift as a whole"),
        counts_if(parts.has_shims,
                  map("material", text.material, material_keys, "strip that the shims are cut from")),
        form("shims", "list of shims", shims, "from the piston face: [count *] outer x thickness, in mm"),
        map("disc", known.stack.disc, disc_keys, "a coil-loaded rigid disc in place of shims"),
        quantity("coverage", text.coverage, "", above_to(0.0, 1.0),
                 "fraction of the ring that the ports open; ports of an arc or a diameter share it evenly",
                 "from ports.arc, else 1"),
        quantity("curtain_length", known.curtain_length, "mm", above_to(0.0, 1000.0),
                 "summed length of separate raised seats", "the ring at seat.inner"),
        counts_if(parts.has_ports, quantity("jet_force", known.jet_force, "", from_to(0.0, 1.0),
                                            "share of the port jet's momentum that reaches the face shim")),
        counts_if(parts.has_ports && parts.has_shims,
                  quantity("shim_friction", known.shim_friction, "", from_to(0.0, 1.0),
                           "coefficient of friction between the shims; counts in time alone")),
        counts_if(parts.has_ports,
                  quantity("restitution", known.restitution, "", from_to(0.0, 0.95),
                           "share of its speed that a plate keeps as it meets its seat, a disc its stop too; "
                           "counts in time alone")),
        counts_if(parts.has_ports, map("discharge", known.discharge, discharge_keys,
                                       "discharge coefficients and flow numbers")),
        map("bleed", text.bleed, bleed_keys, "passage past the stack: needle, hole or area"),
    };
}

std::function<Keys()> valve_reference_keys() {
    return [text = std::make_shared<ValveText>()] { return valve_keys(*text, {}); };
}

} // namespace valve::setup
