#include <valve/core/findings.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/damper/limits.hpp>
#include <valve/damper/reservoir.hpp>
#include <valve/damper/spec.hpp>
#include <valve/damper/support_check.hpp>
#include <valve/flow/detail/limits.hpp>

#include <fmt/format.h>

#include <string>

namespace valve::damper {

namespace {

std::string mm(double length) {
    return fmt::format("{:.4g} mm", length * 1e3);
}

/// A cup at the end of a stroke; `around` the diameter of a rod through the plug, 0 for none.
Findings check(const EndCup& cup, const Cartridge& cartridge, double around) {
    Findings findings;
    require(findings, "plug", cup.plug, diameters);
    require(findings, "length", cup.length, lengths);
    require(findings, "gap", cup.gap, gaps);
    require(findings, "entry_gap", cup.entry_gap, gaps);
    require(findings, "discharge", cup.discharge, flow::coefficients);
    require(findings, "transition", cup.transition, flow::transitions);
    if (cup.hole) require(findings, "hole", *cup.hole, flow::hole_diameters);
    if (!findings.empty()) return findings; // what follows compares them
    if (cup.gap == 0.0 && !cup.hole)
        add_error(findings, "gap", "a plug that seals its cup needs a hole for the oil to leave through");
    if (cup.entry_gap < cup.gap)
        add_error(findings, "entry_gap",
                  fmt::format("the plug enters with {} to spare, less than the {} it ends with",
                              mm(cup.entry_gap), mm(cup.gap)),
                  "gap");
    constexpr double thin = 0.05; // of the plug: there its area and the cup's are a fifth apart
    if (cup.gap > thin * cup.plug)
        add_error(findings, "gap",
                  fmt::format("{} is no narrow gap round a plug of {}", mm(cup.gap), mm(cup.plug)), "plug");
    if (cup.plug + 2.0 * cup.gap >= cartridge.bore)
        add_error(findings, "plug",
                  fmt::format("a cup for it finds no room in the bore of {}", mm(cartridge.bore)));
    if (cup.plug <= around)
        add_error(findings, "plug",
                  fmt::format("{} does not go round the rod of {}", mm(cup.plug), mm(around)));
    if (cup.length > cartridge.travel)
        add_error(findings, "length",
                  fmt::format("{} is more than the travel of {}", mm(cup.length), mm(cartridge.travel)));
    return findings;
}

Findings check(const RingLeak& ring) {
    Findings findings;
    require(findings, "gap", ring.gap, gaps);
    require(findings, "length", ring.length, lengths);
    require(findings, "eccentricity", ring.eccentricity, {0.0, 1.0, ""});
    return findings;
}

Findings check(const Cartridge& cartridge) {
    Findings findings;
    require(findings, "bore", cartridge.bore, diameters);
    require(findings, "rod", cartridge.rod, diameters);
    require(findings, "travel", cartridge.travel, lengths);
    require(findings, "dead_length.C", cartridge.dead_length_C, lengths);
    require(findings, "dead_length.R", cartridge.dead_length_R, lengths);
    if (cartridge.ring_leak) add_below(findings, "ring_leak", check(*cartridge.ring_leak));
    if (!findings.empty()) return findings; // what follows compares them
    if (!(cartridge.rod < cartridge.bore))
        add_error(findings, "rod",
                  fmt::format("the rod, {}, must be thinner than the bore, {}", mm(cartridge.rod),
                              mm(cartridge.bore)),
                  "bore");
    if (cartridge.end_of_stroke)
        add_below(findings, "end_of_stroke", check(*cartridge.end_of_stroke, cartridge, 0.0));
    if (cartridge.top_out)
        add_below(findings, "top_out", check(*cartridge.top_out, cartridge, cartridge.rod));
    if (cartridge.end_of_stroke && cartridge.top_out &&
        cartridge.end_of_stroke->length + cartridge.top_out->length > cartridge.travel)
        add_error(findings, "top_out.length", "the cups at both ends overlap", "end_of_stroke.length");
    constexpr double least_travel = 5e-3; // [m], of any damper: common practice, no source
    if (cartridge.travel < least_travel)
        add_warning(
            findings, "travel",
            fmt::format("{} is less than any damper moves; a bare number is in mm", mm(cartridge.travel)));
    constexpr double thin = 0.02; // of the bore: there the flat-gap law is 2 % off
    if (cartridge.ring_leak && cartridge.ring_leak->gap > thin * cartridge.bore)
        add_error(findings, "ring_leak.gap",
                  fmt::format("{} is no narrow gap in a bore of {}", mm(cartridge.ring_leak->gap),
                              mm(cartridge.bore)),
                  "bore");
    return findings;
}

/// The reservoir by itself. What its kind does without may be zero.
Findings check(const Reservoir& reservoir) {
    const bool has_spring = reservoir.kind == ReservoirKind::spring_piston;
    const bool has_gas =
        reservoir.kind == ReservoirKind::bladder || reservoir.kind == ReservoirKind::gas_piston;
    const auto where = [](bool counts, Limits limits) { return counts ? limits : or_none(limits); };
    Findings findings;
    require(findings, "diameter", reservoir.diameter, where(has_piston(reservoir.kind), diameters));
    require(findings, "rate", reservoir.spring_rate, {0.0, 1e6, "N/mm"});
    require(findings, "preload", reservoir.preload, forces);
    require(findings, "friction", reservoir.friction, forces);
    require(findings, "mass", reservoir.mass, {0.0, 20.0, "kg"});
    require(findings, "back_pressure", reservoir.back_pressure, where(has_spring, absolute_pressures));
    require(findings, "gas_volume", reservoir.gas_volume, where(has_gas, volumes));
    require(findings, "gas_pressure", reservoir.gas_pressure, where(has_gas, absolute_pressures));
    require(findings, "exponent", reservoir.exponent,
            has_gas ? gas_exponents : Limits{0.0, gas_exponents.high, ""});
    if (reservoir.stroke) require(findings, "stroke", *reservoir.stroke, lengths);
    if (reservoir.capacity) require(findings, "capacity", *reservoir.capacity, volumes);
    return findings;
}

/// What each layout can have for a reservoir.
void check_layout(Findings& findings, const SetUp& setup) {
    const ReservoirKind kind = setup.reservoir.kind;
    const bool has_leg = setup.support && setup.support->leg;
    const auto refuse = [&](const char* message) {
        add_error(findings, "reservoir.kind", message, "damper.layout");
    };
    switch (setup.cartridge.layout) {
    case Layout::closed_cartridge:
    case Layout::monotube:
        if (kind == ReservoirKind::leg) refuse("the leg is the reservoir of an open cartridge only");
        break;
    case Layout::open_cartridge:
        if (kind != ReservoirKind::leg) refuse("the reservoir of an open cartridge is the leg");
        break;
    case Layout::twin_tube:
        if (kind != ReservoirKind::bladder)
            refuse("the reservoir of a twin tube is the gas in its outer tube, without a piston: bladder");
        break;
    }
    if (kind == ReservoirKind::leg && !has_leg)
        add_error(findings, "reservoir.kind", "the leg that it names is not described", "support.leg");
}

/// Ports and parts of the piston must find room in the bore. The base may sit in a wider housing.
void check_piston(Findings& findings, const SetUp& setup) {
    const double bore = setup.cartridge.bore;
    double ports = 0.0;
    for (const Place place : {Place::piston_compression, Place::piston_rebound}) {
        const std::optional<flow::Valve>& valve = setup.valves[place];
        if (!valve) continue;
        ports += valve->ports.count * valve->ports.area_each;
        const std::string path = fmt::format("valves.{}.", name(place));
        const auto fit = [&](const std::string& key, const std::string& what, double radius) {
            if (2.0 * radius > bore)
                add_error(findings, path + key,
                          fmt::format("{}, {} across, does not fit the bore of {}", what, mm(2.0 * radius),
                                      mm(bore)),
                          "damper.bore");
        };
        fit("seat.outer", "the seat", valve->stack.seat.outer_radius);
        if (valve->stack.disc) fit("disc.diameter", "the disc", valve->stack.disc->outer_radius);
        for (const stack::Shim& shim : valve->stack.shims)
            fit("shims", "a shim", shim.outer_radius);
    }
    if (ports >= piston_area(setup.cartridge))
        add_error(
            findings, "valves",
            fmt::format("the piston's ports add up to {:.4g} mm2, more than the piston's own {:.4g} mm2",
                        ports * 1e6, piston_area(setup.cartridge) * 1e6),
            "damper.bore");
}

/// Flow that finds no stack in its direction.
void check_missing(Findings& findings, const SetUp& setup) {
    const auto missing = [&](Place place, const char* consequence) {
        if (!setup.valves[place])
            add_warning(findings, "valves", fmt::format("there is no {}: {}", name(place), consequence));
    };
    missing(Place::piston_compression, "in compression only bleeds and ring leak let oil past the piston");
    missing(Place::piston_rebound, "on rebound only bleeds and ring leak let oil past the piston");
    const bool has_base = setup.valves[Place::base_compression] || setup.valves[Place::base_refill];
    if (has_base) {
        missing(Place::base_compression, "only bleeds let the rod's oil out to the reservoir");
        missing(Place::base_refill, "only bleeds let the oil come back from the reservoir");
    } else if (setup.cartridge.layout != Layout::monotube) {
        add_warning(findings, "valves",
                    "there is no base valve: the reservoir's pressure acts on the piston directly",
                    "damper.layout");
    }
}

void check_reservoir_range(Findings& findings, const SetUp& setup) {
    const double limit = reservoir_travel_limit(setup);
    if (limit <= setup.cartridge.travel)
        add_error(findings, "reservoir",
                  fmt::format("the reservoir is full at {} of the {} travel", mm(limit),
                              mm(setup.cartridge.travel)),
                  "damper.travel");
}

} // namespace

Findings check_static(const SetUp& setup) {
    Findings findings;
    add_below(findings, "damper", check(setup.cartridge));
    add_below(findings, "reservoir", check(setup.reservoir));
    if (setup.support) add_below(findings, "support", check(*setup.support));
    check_layout(findings, setup);
    if (first_error(findings) != nullptr) return findings; // what follows compares sound parts
    if (setup.support) check_fit(findings, *setup.support, setup.cartridge);
    if (first_error(findings) == nullptr) check_reservoir_range(findings, setup);
    return findings;
}

Findings check_parts(const SetUp& setup) {
    Findings findings;
    add_below(findings, "oil", flow::check(setup.oil));
    const Findings of_statics = check_static(setup);
    findings.insert(findings.end(), of_statics.begin(), of_statics.end());
    for (const Place place : all_places)
        if (setup.valves[place])
            add_below(findings, "valves." + std::string(name(place)), flow::check(*setup.valves[place]));
    check_missing(findings, setup);
    if (first_error(check(setup.cartridge)) == nullptr) check_piston(findings, setup);
    return findings;
}

Findings check(const SetUp& setup) {
    Findings findings = check_parts(setup);
    if (setup.support && first_error(findings) == nullptr) {
        question_force(findings, setup);
        question_linkage(findings, setup);
    }
    return findings;
}

} // namespace valve::damper
