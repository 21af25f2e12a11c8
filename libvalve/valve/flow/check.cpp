#include <valve/core/findings.hpp>
#include <valve/flow/detail/limits.hpp>
#include <valve/flow/oil.hpp>
#include <valve/flow/opening.hpp>
#include <valve/flow/spec.hpp>
#include <valve/flow/valve_law.hpp>
#include <valve/stack/detail/load.hpp>

#include <fmt/format.h>

#include <numbers>
#include <string>

namespace valve::flow {

namespace {

constexpr Limits temperatures{-200.0, 500.0, "C"};
constexpr Limits viscosities{0.3, 1e6, "mm2/s", false}; // below, log10 log10(ν + 0.7) does not exist
constexpr Limits areas{1e-6, 1e5, "mm2"};
constexpr Limits notch_depths{0.001, 100.0, "mm"};

void check_viscosity(Findings& findings, const Oil& oil) {
    constexpr double thickest = 1.0;  // that a flow is computed of, as thick as pitch would be [m²/s]
    constexpr double doubtful = 2e-6; // the constant 0.7 holds above [m²/s]
    if (oil.viscosity.size() != 2) {
        add_error(findings, "viscosity",
                  fmt::format("must be given at two temperatures, not {}", oil.viscosity.size()));
        return;
    }
    const auto [cold, at_cold] = *oil.viscosity.begin();
    const auto [hot, at_hot] = *oil.viscosity.rbegin();
    bool are_values = true;
    for (const auto& [temperature, viscosity] : oil.viscosity) {
        are_values = require(findings, "viscosity", temperature, temperatures) && are_values;
        are_values = require(findings, "viscosity", viscosity, viscosities) && are_values;
    }
    if (!are_values || !findings.empty()) return;
    const double here = kinematic_viscosity(oil, oil.temperature);
    if (!(at_cold > at_hot)) {
        add_error(findings, "viscosity",
                  fmt::format("must fall as the oil gets warmer: {:.4g} mm2/s, then {:.4g} mm2/s",
                              at_cold * 1e6, at_hot * 1e6));
    } else if (!(here <= thickest)) {
        add_error(findings, "temperature",
                  fmt::format("the oil is at {:.2g} mm2/s here; expected at most {:.0g} mm2/s", here * 1e6,
                              thickest * 1e6),
                  "viscosity");
    } else if (here < doubtful) {
        add_warning(
            findings, "temperature",
            fmt::format("the oil is at {:.2g} mm2/s here, and the law between the two points (ASTM D341) "
                        "holds above 2 mm2/s",
                        here * 1e6),
            "viscosity");
    }
}

void check_discharge(Findings& findings, const Discharge& discharge) {
    require(findings, "discharge.port", discharge.port, coefficients);
    require(findings, "discharge.curtain", discharge.curtain, coefficients);
    require(findings, "discharge.bleed", discharge.bleed, coefficients);
    require(findings, "discharge.port_transition", discharge.port_transition, transitions);
    require(findings, "discharge.curtain_transition", discharge.curtain_transition, transitions);
    require(findings, "discharge.bleed_transition", discharge.bleed_transition, transitions);
}

void check_bleed(Findings& findings, const Needle& needle) {
    const bool has_clicks = require(findings, "bleed.needle.clicks", needle.clicks, {0.0, 1000.0, ""});
    const bool has_range = require(findings, "bleed.needle.of", needle.range, above_zero_to(1000.0, ""));
    require(findings, "bleed.needle.seat", needle.seat_diameter, hole_diameters);
    require(findings, "bleed.needle.per_click", needle.per_click, {0.0001, 100.0, "mm"});
    require(findings, "bleed.needle.angle", needle.cone_angle, {0.1, 179.0, "deg"});
    if (has_clicks && has_range && needle.clicks > needle.range)
        add_error(findings, "bleed.needle.clicks",
                  fmt::format("{:g} clicks lie outside the adjuster's range, 0 to {:g}", needle.clicks,
                              needle.range),
                  "bleed.needle.of");
}

void check_bleed(Findings& findings, const Hole& hole) {
    require(findings, "bleed.hole", hole.diameter, hole_diameters);
    require_count(findings, "bleed.count", hole.count, 1, 1000);
}

void check_bleed(Findings& findings, const Notch& notch) {
    require(findings, "bleed.area", notch.area, areas);
    if (notch.depth) require(findings, "bleed.depth", *notch.depth, notch_depths);
}

void check_curtain(Findings& findings, const Valve& valve) {
    if (!valve.curtain_length) return;
    require(findings, "curtain_length", *valve.curtain_length, {0.01, 10000.0, "mm"});
    if (valve.stack.coverage < 1.0 && valve.stack.windows == 0 && !valve.stack.disc)
        add_warning(
            findings, "curtain_length",
            "how the ports lie round the ring is not known (ports.arc, or ports.diameter, says it), so "
            "the gap under the face shim is as high as the mean of the ring, not as over its ports",
            "coverage");
}

/// Ports that end in a ring of less area than their own.
void question_ports(Findings& findings, const Valve& valve) {
    const stack::Zone& zone = valve.stack.zone;
    const double ring =
        std::numbers::pi * (zone.outer_radius * zone.outer_radius - zone.inner_radius * zone.inner_radius);
    const double ports = valve.ports.count * valve.ports.area_each;
    if (ports > ring)
        add_warning(
            findings, "ports",
            fmt::format("the ports add up to {:.4g} mm2, more than the ring of {:.4g} mm2 that they open "
                        "into; is the area that of all of them together?",
                        ports * 1e6, ring * 1e6),
            "zone");
}

void check_jet(Findings& findings, const Valve& valve) {
    const double area = stack::load_area(valve.stack);
    if (const double ratio = jet_ratio(valve, area); ratio > 1.0)
        add_warning(
            findings, "jet_force",
            fmt::format("the port jet is strong for the area the pressure works on: 2 c_j C_d^2 A_port / "
                        "A_load = {:.2f}; above 1 a valve driven by pressure can snap between two states",
                        ratio),
            "ports");
}

} // namespace

Findings check(const Oil& oil) {
    Findings findings;
    require(findings, "density", oil.density_15, {100.0, 20000.0, "kg/m3"});
    require(findings, "bulk_modulus", oil.bulk_modulus, {0.001, 1000.0, "GPa"});
    require(findings, "temperature", oil.temperature, temperatures);
    require(findings, "expansion", oil.expansion, {0.0, 0.1, "1/K"});
    require(findings, "free_air", oil.free_air, {0.0, 99.0, "%"});
    require(findings, "cavitation_pressure", oil.cavitation_pressure, {1e-5, 1.0, "bar", true, "absolute"});
    if (first_error(findings) == nullptr && !(density(oil, oil.temperature) > 0.1 * oil.density_15))
        add_error(findings, "expansion",
                  fmt::format("{:.4g} 1/K leaves the oil a density of {:.4g} kg/m3 at its temperature",
                              oil.expansion, density(oil, oil.temperature)),
                  "temperature");
    check_viscosity(findings, oil);
    return findings;
}

Findings check(const Valve& valve) {
    Findings findings = stack::check(valve.stack);
    require_count(findings, "ports.count", valve.ports.count, 1, 1000);
    require(findings, "ports.area", valve.ports.area_each, areas);
    require(findings, "ports.length", port_length(valve), {0.0, 200.0, "mm"});
    check_curtain(findings, valve);
    require(findings, "jet_force", valve.jet_force, {0.0, 1.0, ""});
    require(findings, "shim_friction", valve.shim_friction, {0.0, 1.0, ""});
    require(findings, "restitution", valve.restitution, {0.0, 0.95, ""}); // near 1 blows never end
    check_discharge(findings, valve.discharge);
    if (valve.bleed) std::visit([&](const auto& bleed) { check_bleed(findings, bleed); }, *valve.bleed);
    if (first_error(findings) == nullptr) {
        question_ports(findings, valve);
        check_jet(findings, valve);
    }
    return findings;
}

} // namespace valve::flow
