#include <valve/core/findings.hpp>
#include <valve/core/units.hpp>
#include <valve/flow/opening.hpp>
#include <valve/setup/detail/declarations.hpp>
#include <valve/setup/detail/node.hpp>
#include <valve/setup/detail/reader.hpp>
#include <valve/setup/detail/valve_text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <numbers>
#include <utility>

namespace valve::setup {
namespace {

using stack::InnerEdge;

/// Fills in what follows from other keys, and refuses keys that do not go together.
class ValveReading {
public:
    ValveReading(ValveText& text, std::string path, Reader& reader)
        : m_text(text), m_path(std::move(path)), m_reader(reader) {}

    flow::Valve finished() {
        if (m_text.ports) read_ports(*m_text.ports);
        read_metal();
        if (m_text.ports && !m_text.ports->length) {
            m_valve.ports.length = flow::port_length(m_valve);
            m_reader.assume(at("ports.length"), format_quantity(*m_valve.ports.length, "mm"));
        }
        if (m_text.floating) {
            read_float(*m_text.floating);
        } else {
            read_clamp();
        }
        read_coverage();
        read_windows();
        warn_of_wide_ports();
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
        m_valve.ports.length = ports.length;
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

    /// Of the ring, by kidney windows [-].
    static double open_share(const PortsText& ports) {
        return ports.count * *ports.arc / (2.0 * std::numbers::pi);
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
        if (open_share(ports) > 1.0 + 1e-12) { // rounding of 5 * 72 deg and the like
            m_reader.fail_at(at("ports.arc"), "the windows together span more than 360 deg",
                             at("ports.count"));
        }
        return 0.5 * *ports.arc * (outer * outer - inner * inner);
    }

    void read_metal() {
        const bool has_shims = !m_valve.stack.shims.empty();
        const bool has_disc = m_valve.stack.disc.has_value();
        if (has_shims && has_disc)
            m_reader.fail_at(at("disc"), "give shims or a disc, not both", at("shims"));
        if (!has_shims && !has_disc) {
            m_reader.fail_missing(m_path, "shims", "what closes the ports: shims, or a disc");
        }
        if (has_disc && !m_text.floating) {
            m_reader.fail_missing(m_path, "float", "a disc is held by its coil: {travel, rate, preload}");
        }
        for (const auto& [key, is_given] : {std::pair{"edge", m_text.edge.has_value()},
                                            std::pair{"bore", m_text.bore_radius.has_value()}}) {
            if (!is_given) continue;
            if (has_disc) m_reader.fail_at(at(key), "belongs to shims: a disc does not bend", at("disc"));
            if (!m_text.floating) m_reader.fail_at(at(key), "belongs to a floated stack: there is no float");
        }
        if (!has_disc || !m_reader.is_written(at("shim_friction"))) return;
        Findings findings;
        add_warning(findings, "shim_friction", "belongs to shims: a disc has none, and this changes nothing");
        m_reader.take(findings, m_path);
    }

    void read_clamp() {
        if (!m_text.clamp_radius) {
            m_reader.fail_missing(m_path, "clamp",
                                  "diameter of the clamp (or float: for a stack that floats)");
        }
        m_valve.stack.clamp_radius = *m_text.clamp_radius;
    }

    void read_float(const FloatText& written) {
        stack::Stack& stack = m_valve.stack;
        const double ring = ring_that_floats(written);
        const double bearing = written.at.value_or(ring);
        stack.floating = written.known;
        stack.floating->travel = travel_of(written);
        stack.floating->preload = preload_of(written.known);
        stack.floating->ring_radius = ring;
        stack.floating->spring_radius = written.spring_at.value_or(bearing);
        stack.floating->stop_radius = written.stop_at.value_or(bearing);
        stack.clamp_radius = ring;
        stack.bore_radius = m_text.bore_radius.value_or(ring);
        stack.edge = m_text.edge.value_or(InnerEdge::free);
        if (stack.disc) return; // it does not bend: where it is held, and how, has no part in the result

        if (!m_text.clamp_radius) assume_diameter("clamp", ring);
        if (!written.at && !(written.spring_at && written.stop_at)) assume_diameter("float.at", bearing);
        if (!written.spring_at) assume_diameter("float.spring_at", bearing);
        if (!written.stop_at) assume_diameter("float.stop_at", bearing);
        if (!m_text.bore_radius) assume_diameter("bore", ring);
        if (!m_text.edge) m_reader.assume(at("edge"), "free");
    }

    double ring_that_floats(const FloatText& written) const {
        if (m_text.clamp_radius) return *m_text.clamp_radius;
        if (written.at) return *written.at;
        if (m_valve.stack.disc) return m_valve.stack.zone.inner_radius;
        m_reader.fail_missing(m_path, "clamp", "diameter of the ring that floats (clamp or float.at)");
    }

    /// As written, with what the adjuster is turned in.
    static double preload_of(const stack::Float& written) {
        if (!written.adjuster) return written.preload;
        const stack::SpringAdjuster& adjuster = *written.adjuster;
        const double turned_in = adjuster.range - adjuster.turns;
        return written.preload + written.spring_rate * adjuster.per_turn * turned_in;
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
        const double height = height_of(shims);
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
            m_valve.stack.coverage = std::min(1.0, open_share(*m_text.ports));
        }
        m_reader.assume(at("coverage"), fmt::format("{:.4g}", m_valve.stack.coverage)); // to look at
        warn_of_unknown_ports();
    }

    /// A hole that is wider than the ring in which pressure acts is one written wrong, or the ring is.
    void warn_of_wide_ports() {
        constexpr double much = 1.05; // of the ring: holes may break through its edges a little
        if (!m_text.ports || !m_text.ports->diameter) return;
        const stack::Zone& zone = m_valve.stack.zone;
        const double ring = zone.outer_radius - zone.inner_radius;
        if (!(ring > 0.0) || !(*m_text.ports->diameter > much * ring)) return;
        Findings findings;
        add_warning(findings, "ports.diameter",
                    fmt::format("holes of {} do not fit into the pressure zone, a ring {} wide",
                                format_quantity(*m_text.ports->diameter, "mm"),
                                fmt::format("{:.4g} mm", 1e3 * ring)));
        m_reader.take(findings, m_path);
    }

    /// Ports of an area alone are taken as joined by a recess. Where the ring is much larger than they are,
    /// the other reading loads so much less of it that the file should say which is meant.
    void warn_of_unknown_ports() {
        constexpr double much = 1.5; // load by load
        if (!m_text.ports || !m_text.ports->area || m_text.ports->count < 1) return;
        const stack::Zone& zone = m_valve.stack.zone;
        const double ring = std::numbers::pi *
                            (zone.outer_radius * zone.outer_radius - zone.inner_radius * zone.inner_radius);
        const double ports = m_text.ports->count * *m_text.ports->area;
        if (!(ring > much * ports)) return;
        Findings findings;
        add_warning(
            findings, "ports",
            fmt::format(
                "{:.3g} mm² of ports in a ring of {:.3g} mm² are taken as joined by a recess, so that "
                "the pressure loads the whole ring; `coverage: 1` says so. Where they are windows, "
                "say it with `arc`, or with `coverage`: the stack then opens much later",
                1e6 * ports, 1e6 * ring));
        m_reader.take(findings, m_path);
    }

    /// Ports of an arc or a diameter lie evenly round the ring and share what they open of it. Of ports of an
    /// area alone nobody knows how wide they are.
    void read_windows() {
        const bool is_shaped = m_text.ports && (m_text.ports->arc || m_text.ports->diameter);
        if (is_shaped && m_valve.stack.coverage < 1.0) m_valve.stack.windows = m_text.ports->count;
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
        m_valve.bleed_ways = bleed.ways;
        if (bleed.count && !is_hole) m_reader.fail_at(at("bleed.count"), "belongs to hole: there is none");
        if (bleed.depth && !bleed.area) m_reader.fail_at(at("bleed.depth"), "belongs to area: there is none");
        if (bleed.needle) {
            m_valve.bleed = *bleed.needle;
        } else if (is_hole) {
            if (!bleed.count) m_reader.assume(at("bleed.count"), "1");
            m_valve.bleed = flow::Hole{*bleed.hole, bleed.count.value_or(1)};
        } else if (bleed.area) {
            m_valve.bleed = flow::Notch{*bleed.area, bleed.depth};
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
    const bool has_shims = node.find("disc") == nullptr;
    if (!has_shims && node.find("material") != nullptr) {
        reader.fail_at(joined(path, "material"), "belongs to shims: a disc does not bend",
                       joined(path, "disc"));
    }
    reader.read(node, path, valve_keys(text, {needs_ports, node.find("ports") != nullptr, has_shims}));
    return ValveReading(text, path, reader).finished();
}

} // namespace valve::setup
