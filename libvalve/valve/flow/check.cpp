#include <valve/core/findings.hpp>
#include <valve/flow/oil.hpp>
#include <valve/flow/spec.hpp>
#include <valve/flow/valve_law.hpp>
#include <valve/stack/detail/load.hpp>

#include <fmt/format.h>

#include <cmath>
#include <numbers>
#include <string>

namespace valve::flow {

namespace {

using std::numbers::pi;

void check_viscosity(Findings& findings, const Oil& oil) {
    constexpr double lowest = 0.3e-6; // below it log10 log10(ν + 0.7) does not exist [m²/s]
    constexpr double doubtful = 2e-6; // the constant 0.7 holds above [m²/s]
    if (oil.viscosity.size() != 2) {
        add_error(findings, "viscosity",
                  fmt::format("must be given at two temperatures, not {}", oil.viscosity.size()));
        return;
    }
    const auto [cold, at_cold] = *oil.viscosity.begin();
    const auto [hot, at_hot] = *oil.viscosity.rbegin();
    if (!(cold > 0.0) || !std::isfinite(hot)) {
        add_error(findings, "viscosity", "the temperatures must lie above absolute zero");
    } else if (!(at_hot > lowest) || !std::isfinite(at_cold)) {
        add_error(findings, "viscosity", "must be more than 0.3 mm2/s");
    } else if (!(at_cold > at_hot)) {
        add_error(findings, "viscosity", "must fall as the oil gets warmer");
    } else if (const double viscosity = kinematic_viscosity(oil, oil.temperature); viscosity < doubtful) {
        add_warning(
            findings, "temperature",
            fmt::format("the oil is at {:.2g} mm2/s here, and the law between the two points (ASTM D341) "
                        "holds above 2 mm2/s",
                        viscosity * 1e6),
            "viscosity");
    }
}

void check_discharge(Findings& findings, const Discharge& discharge) {
    const auto coefficient = [&](const std::string& key, double value) {
        if (!(value > 0.0 && value <= 1.0)) add_error(findings, key, "must lie above 0 and not above 1");
    };
    coefficient("discharge.port", discharge.port);
    coefficient("discharge.curtain", discharge.curtain);
    coefficient("discharge.bleed", discharge.bleed);
    require_positive(findings, "discharge.port_transition", discharge.port_transition);
    require_positive(findings, "discharge.curtain_transition", discharge.curtain_transition);
    require_positive(findings, "discharge.bleed_transition", discharge.bleed_transition);
}

void check_bleed(Findings& findings, const Needle& needle) {
    require_positive(findings, "bleed.needle.seat", needle.seat_diameter);
    require_positive(findings, "bleed.needle.per_click", needle.per_click);
    if (!(needle.cone_angle > 0.0 && needle.cone_angle < pi))
        add_error(findings, "bleed.needle.angle", "must lie between 0 and 180 deg");
    if (!(needle.clicks >= 0.0 && needle.clicks <= needle.range))
        add_error(findings, "bleed.needle.clicks",
                  fmt::format("{:g} clicks lie outside the adjuster's range, 0 to {:g}", needle.clicks,
                              needle.range),
                  "bleed.needle.of");
}

void check_bleed(Findings& findings, const Hole& hole) {
    require_positive(findings, "bleed.hole", hole.diameter);
    if (hole.count < 1) add_error(findings, "bleed.count", "must be 1 or more");
}

void check_bleed(Findings& findings, const Notch& notch) {
    require_positive(findings, "bleed.area", notch.area);
}

void check_curtain(Findings& findings, const Valve& valve) {
    if (!valve.curtain_length) return;
    require_positive(findings, "curtain_length", *valve.curtain_length);
    if (valve.stack.coverage < 1.0 && valve.stack.windows == 0 && !valve.stack.disc)
        add_warning(
            findings, "curtain_length",
            "how the ports lie round the ring is not known (ports.arc, or ports.diameter, says it), so "
            "the gap under the face shim is as high as the mean of the ring, not as over its ports",
            "coverage");
}

void check_jet(Findings& findings, const Valve& valve) {
    if (!(valve.jet_force >= 0.0 && valve.jet_force <= 1.0)) {
        add_error(findings, "jet_force", "must lie between 0 and 1");
        return;
    }
    const double area = stack::load_area(valve.stack);
    if (!(area > 0.0) || valve.ports.count < 1) return; // reported where they belong
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
    require_positive(findings, "density", oil.density_15);
    require_positive(findings, "bulk_modulus", oil.bulk_modulus);
    require_positive(findings, "temperature", oil.temperature);
    if (!(oil.expansion >= 0.0)) add_error(findings, "expansion", "must not be negative");
    if (!(oil.free_air >= 0.0 && oil.free_air < 1.0))
        add_error(findings, "free_air", "must lie between 0 and 100 %");
    if (!(oil.cavitation_pressure > 0.0 && oil.cavitation_pressure < p_atm))
        add_error(findings, "cavitation_pressure", "must lie above absolute zero and below the atmosphere");
    if (oil.density_15 > 0.0 && !(density(oil, oil.temperature) > 0.0))
        add_error(findings, "expansion", "leaves the oil no density at its temperature", "temperature");
    if (oil.temperature > 0.0) check_viscosity(findings, oil);
    return findings;
}

Findings check(const Valve& valve) {
    Findings findings = stack::check(valve.stack);
    if (valve.ports.count < 1) add_error(findings, "ports.count", "must be 1 or more");
    require_positive(findings, "ports.area", valve.ports.area_each);
    check_curtain(findings, valve);
    check_discharge(findings, valve.discharge);
    if (valve.bleed) std::visit([&](const auto& bleed) { check_bleed(findings, bleed); }, *valve.bleed);
    check_jet(findings, valve);
    return findings;
}

} // namespace valve::flow
