#include <valve/core/text.hpp>
#include <valve/core/units.hpp>
#include <valve/setup/declarations.hpp>
#include <valve/setup/message.hpp>
#include <valve/setup/reader.hpp>
#include <valve/setup/shims.hpp>

#include <fmt/format.h>

#include <memory>
#include <numbers>
#include <numeric>

namespace valve::setup {
namespace {

using stack::InnerEdge;
using stack::RestsOn;

constexpr Range diameters = above_to(0.0, 200.0); // [mm]

/// Ports as written: holes of an area or a diameter, or kidney windows.
struct PortsText {
    int count = 0;
    std::optional<double> area, diameter;                  // [m²], [m]
    std::optional<double> inner_radius, outer_radius, arc; // [m], [m], [rad]
};

struct BleedText {
    std::optional<flow::Needle> needle;
    std::optional<double> hole; // diameter [m]
    std::optional<int> count;   // of holes
    std::optional<double> area; // [m²]
};

struct FloatText {
    stack::Float known;                           // what is read straight into its place
    std::optional<double> travel, sleeve;         // [m]
    std::optional<double> at, spring_at, stop_at; // radii [m]
};

/// A valve as written; what follows from other keys is filled in by ValveReading.
struct ValveText {
    flow::Valve known; // what is read straight into its place
    plate::Material material;
    std::optional<PortsText> ports;
    std::optional<double> clamp_radius, bore_radius; // [m]
    std::optional<InnerEdge> edge;
    std::optional<FloatText> floating;
    std::optional<BleedText> bleed;
    std::optional<double> coverage;
};

Keys ports_keys(PortsText& ports) {
    return {
        required(count("count", ports.count, 1, 100, "how many ports feed the stack")),
        quantity("area", ports.area, "mm2", above_to(0.0, 5000.0), "area of each port"),
        quantity("diameter", ports.diameter, "mm", above_to(0.0, 100.0), "of each port, where it is a hole"),
        diameter("inner", ports.inner_radius, diameters, "inner diameter of the kidney windows"),
        diameter("outer", ports.outer_radius, diameters, "outer diameter of the kidney windows"),
        quantity("arc", ports.arc, "deg", above_to(0.0, 360.0), "angle that each kidney window spans"),
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

Keys float_keys(FloatText& floating) {
    const Names<RestsOn> supports{{"hub", RestsOn::hub}, {"seat", RestsOn::seat}};
    return {
        quantity("travel", floating.travel, "mm", above_to(0.0, 20.0), "from the hub to the stop"),
        quantity("sleeve", floating.sleeve, "mm", above_to(0.0, 50.0),
                 "length of the sleeve under the stop; travel is what the shims on it leave"),
        quantity("rate", floating.known.spring_rate, "N/mm", from_to(0.0, 10000.0), "of the float's spring"),
        quantity("preload", floating.known.preload, "N", from_to(0.0, 10000.0),
                 "of the spring with the stack on its hub"),
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
        required(quantity("mass", disc.mass, "kg", above_to(0.0, 1.0), "of the disc")),
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
        required(quantity("per_click", needle.per_click, "mm", above_to(0.0, 2.0), "axial movement a click")),
        required(
            quantity("clicks", needle.clicks, "", from_to(0.0, 200.0), "setting, counted out from closed")),
        required(quantity("of", needle.range, "", above_to(0.0, 200.0), "clicks from closed to fully out")),
    };
}

Keys bleed_keys(BleedText& bleed) {
    Key hole_count{
        "count", "how many bleed holes", Count{1, 100, [&bleed](int n) { bleed.count = n; }, {}}, false, "1",
        {}};
    return {
        map("needle", bleed.needle, needle_keys, "a conical needle in a round seat"),
        quantity("hole", bleed.hole, "mm", above_to(0.0, 20.0), "diameter of a bleed hole"),
        std::move(hole_count),
        quantity("area", bleed.area, "mm2", above_to(0.0, 100.0), "of a notched face shim or a groove"),
    };
}

Keys keys_of(ValveText& text, bool needs_ports) {
    const Names<InnerEdge> edges{{"free", InnerEdge::free}, {"guided", InnerEdge::guided}};
    flow::Valve& known = text.known;
    Key ports = map("ports", text.ports, ports_keys, "drillings that feed the stack");
    const auto shims = [&text](const Node& value, const std::string& path, Reader& reader) {
        text.known.stack.shims = read_shims(value, path, text.material, reader);
    };
    return {
        needs_ports ? required(std::move(ports)) : std::move(ports),
        required(map("zone", known.stack.zone, zone_keys, "where the pressure works on the face shim")),
        required(map("seat", known.stack.seat, seat_keys, "the land that the face shim closes on")),
        diameter("clamp", text.clamp_radius, diameters,
                 "of the clamp; of a floated stack the ring that floats", "float.at"),
        choice("edge", text.edge, edges, "inner edge of a floated stack", "free"),
        diameter("bore", text.bore_radius, diameters, "where the metal of a floated stack ends", "clamp"),
        map("float", text.floating, float_keys, "lets the stack lift as a whole"),
        map("material", text.material, material_keys, "strip that the shims are cut from"),
        form("shims", "list of shims", shims, "from the piston face: [count *] outer x thickness, in mm"),
        map("disc", known.stack.disc, disc_keys, "a coil-loaded rigid disc in place of shims"),
        quantity("coverage", text.coverage, "", above_to(0.0, 1.0),
                 "fraction of the ring that the ports open", "from ports.arc, else 1"),
        quantity("curtain_length", known.curtain_length, "mm", above_to(0.0, 1000.0),
                 "summed length of separate raised seats", "the ring at seat.inner"),
        quantity("jet_force", known.jet_force, "", from_to(0.0, 1.0),
                 "share of the port jet's momentum that reaches the face shim"),
        map("discharge", known.discharge, discharge_keys, "discharge coefficients and flow numbers"),
        map("bleed", text.bleed, bleed_keys, "passage past the stack: needle, hole or area"),
    };
}

/// Fills in what follows from other keys, and refuses keys that do not go together.
class ValveReading {
public:
    ValveReading(ValveText& text, std::string path, Reader& reader)
        : m_text(text), m_path(std::move(path)), m_reader(reader) {}

    flow::Valve finished() {
        if (m_text.ports) read_ports(*m_text.ports);
        read_metal();
        if (m_text.floating) {
            read_float(*m_text.floating);
        } else {
            read_clamp();
        }
        read_coverage();
        if (m_text.bleed) read_bleed(*m_text.bleed);
        return std::move(m_valve);
    }

private:
    std::string at(std::string_view key) const { return joined(m_path, key); }

    void assume_diameter(std::string_view key, double radius) {
        m_reader.assume(at(key), format_quantity(2.0 * radius, "mm"));
    }

    void read_ports(const PortsText& ports) {
        m_valve.ports.count = ports.count;
        const bool is_kidney = ports.inner_radius || ports.outer_radius || ports.arc;
        if (ports.area && ports.diameter) {
            m_reader.fail_at(at("ports.diameter"), "give area or diameter, not both", at("ports.area"));
        }
        if (is_kidney && (ports.area || ports.diameter)) {
            m_reader.fail_at(at(ports.area ? "ports.area" : "ports.diameter"),
                             "give this or the windows' inner, outer and arc, not both",
                             at(ports.arc            ? "ports.arc"
                                : ports.inner_radius ? "ports.inner"
                                                     : "ports.outer"));
        }
        if (ports.area) {
            m_valve.ports.area_each = *ports.area;
        } else if (ports.diameter) {
            m_valve.ports.area_each = 0.25 * std::numbers::pi * *ports.diameter * *ports.diameter;
        } else if (is_kidney) {
            m_valve.ports.area_each = kidney_area(ports);
        } else {
            m_reader.fail_missing(at("ports"), "area",
                                  "area, diameter, or inner, outer and arc of each port");
        }
    }

    /// Sector of a ring, its corners sharp [m²].
    double kidney_area(const PortsText& ports) const {
        if (!ports.inner_radius)
            m_reader.fail_missing(at("ports"), "inner", "inner diameter of the kidney windows");
        if (!ports.outer_radius)
            m_reader.fail_missing(at("ports"), "outer", "outer diameter of the kidney windows");
        if (!ports.arc) m_reader.fail_missing(at("ports"), "arc", "angle that each kidney window spans");
        const double inner = *ports.inner_radius;
        const double outer = *ports.outer_radius;
        if (outer <= inner)
            m_reader.fail_at(at("ports.outer"), "must be larger than inner", at("ports.inner"));
        if (ports.count * *ports.arc > to_si(360.0, unit("deg"))) {
            m_reader.fail_at(at("ports.arc"), "the windows together span more than 360 deg",
                             at("ports.count"));
        }
        return 0.5 * *ports.arc * (outer * outer - inner * inner);
    }

    void read_metal() {
        const bool has_shims = !m_valve.stack.shims.empty();
        if (has_shims && m_valve.stack.disc) {
            m_reader.fail_at(at("disc"), "give shims or a disc, not both", at("shims"));
        }
        if (!has_shims && !m_valve.stack.disc) {
            m_reader.fail_missing(m_path, "shims", "what closes the ports: shims, or a disc");
        }
        if (m_valve.stack.disc && !m_text.floating) {
            m_reader.fail_missing(m_path, "float",
                                  "a disc is held by its coil: float: {travel, rate, preload}");
        }
    }

    void read_clamp() {
        if (!m_text.clamp_radius) {
            m_reader.fail_missing(m_path, "clamp",
                                  "diameter of the clamp (or float: for a stack that floats)");
        }
        if (m_text.edge) m_reader.fail_at(at("edge"), "belongs to a floated stack: there is no float");
        if (m_text.bore_radius) m_reader.fail_at(at("bore"), "belongs to a floated stack: there is no float");
        m_valve.stack.clamp_radius = *m_text.clamp_radius;
    }

    void read_float(const FloatText& written) {
        stack::Stack& stack = m_valve.stack;
        if (!m_text.clamp_radius && !written.at) {
            m_reader.fail_missing(m_path, "clamp", "diameter of the ring that floats (clamp or float.at)");
        }
        const double ring = m_text.clamp_radius ? *m_text.clamp_radius : *written.at;
        const double bearing = written.at.value_or(ring);
        if (!m_text.clamp_radius) assume_diameter("clamp", ring);
        if (!written.at && !(written.spring_at && written.stop_at)) assume_diameter("float.at", bearing);
        if (!written.spring_at) assume_diameter("float.spring_at", bearing);
        if (!written.stop_at) assume_diameter("float.stop_at", bearing);
        if (!m_text.bore_radius) assume_diameter("bore", ring);
        if (!m_text.edge && !stack.disc) m_reader.assume(at("edge"), "free");

        stack.floating = written.known;
        stack.floating->travel = travel_of(written);
        stack.floating->ring_radius = ring;
        stack.floating->spring_radius = written.spring_at.value_or(bearing);
        stack.floating->stop_radius = written.stop_at.value_or(bearing);
        stack.clamp_radius = ring;
        stack.bore_radius = m_text.bore_radius.value_or(ring);
        stack.edge = m_text.edge.value_or(InnerEdge::free);
    }

    double travel_of(const FloatText& written) const {
        if (written.travel && written.sleeve) {
            m_reader.fail_at(at("float.sleeve"), "give travel or sleeve, not both", at("float.travel"));
        }
        if (written.travel) return *written.travel;
        if (!written.sleeve)
            m_reader.fail_missing(at("float"), "travel", "from the hub to the stop (or sleeve)");
        const auto& shims = m_valve.stack.shims;
        if (shims.empty()) m_reader.fail_at(at("float.sleeve"), "needs shims on it; give travel for a disc");
        const double height =
            std::accumulate(shims.begin(), shims.end(), 0.0,
                            [](double sum, const stack::Shim& shim) { return sum + shim.thickness; });
        if (height >= *written.sleeve) {
            m_reader.fail_at(
                at("float.sleeve"),
                fmt::format("the shims on it are {:.3g} mm thick and leave no travel", 1e3 * height),
                at("shims"));
        }
        return *written.sleeve - height;
    }

    void read_coverage() {
        if (m_text.coverage) {
            m_valve.stack.coverage = *m_text.coverage;
            return;
        }
        if (m_text.ports && m_text.ports->arc) {
            m_valve.stack.coverage = m_text.ports->count * *m_text.ports->arc / (2.0 * std::numbers::pi);
        }
        m_reader.assume(at("coverage"), format_quantity(m_valve.stack.coverage, ""));
    }

    void read_bleed(const BleedText& bleed) {
        const bool is_hole = bleed.hole.has_value();
        if (bleed.needle && (is_hole || bleed.area)) {
            m_reader.fail_at(at(is_hole ? "bleed.hole" : "bleed.area"), "give one of needle, hole and area",
                             at("bleed.needle"));
        }
        if (is_hole && bleed.area) {
            m_reader.fail_at(at("bleed.area"), "give one of needle, hole and area", at("bleed.hole"));
        }
        if (bleed.count && !is_hole) m_reader.fail_at(at("bleed.count"), "belongs to hole: there is none");
        if (bleed.needle) {
            m_valve.bleed = *bleed.needle;
        } else if (is_hole) {
            if (!bleed.count) m_reader.assume(at("bleed.count"), "1");
            m_valve.bleed = flow::Hole{*bleed.hole, bleed.count.value_or(1)};
        } else if (bleed.area) {
            m_valve.bleed = flow::Notch{*bleed.area};
        } else {
            m_reader.fail_missing(at("bleed"), "needle", "one of needle, hole and area");
        }
    }

    ValveText& m_text;
    flow::Valve& m_valve = m_text.known;
    std::string m_path;
    Reader& m_reader;
};

} // namespace

flow::Valve read_valve(const Node& node, const std::string& path, Reader& reader, bool needs_ports) {
    ValveText text;
    reader.read(node, path, keys_of(text, needs_ports));
    return ValveReading(text, path, reader).finished();
}

std::function<Keys()> valve_keys() {
    return [text = std::make_shared<ValveText>()] { return keys_of(*text, true); };
}

} // namespace valve::setup
