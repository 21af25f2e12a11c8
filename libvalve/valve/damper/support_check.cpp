#include <valve/core/constants.hpp>
#include <valve/core/findings.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/damper/leg_air.hpp>
#include <valve/damper/limits.hpp>
#include <valve/damper/linkage.hpp>
#include <valve/damper/sag.hpp>
#include <valve/damper/support_check.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <string>

namespace valve::damper {

namespace {

std::string mm(double length) {
    return fmt::format("{:.4g} mm", length * 1e3);
}

Findings check(const MainSpring& spring) {
    Findings findings;
    require(findings, "rate", spring.rate, spring_rates);
    require(findings, "preload", spring.preload, or_none(lengths));
    if (!spring.second) return findings;
    require(findings, "second.rate", spring.second->rate, spring_rates);
    require(findings, "second.from", spring.second->from, or_none(lengths));
    if (findings.empty() && spring.second->rate < spring.rate)
        add_warning(findings, "second.rate",
                    "lower than the first: a coil that closes on itself only grows stiffer", "rate");
    return findings;
}

Findings check(const OilColumn& column) {
    Findings findings;
    require(findings, "tube", column.tube, diameters);
    require(findings, "inside", column.inside, or_none(diameters));
    require(findings, "length", column.length, lengths);
    require(findings, "spring_volume", column.spring_volume, or_none(volumes));
    require(findings, "spring_length", column.spring_length, lengths);
    return findings;
}

Findings check(const Leg& leg) {
    Findings findings;
    require(findings, "diameter", leg.diameter, diameters);
    require(findings, "chamber_volume", leg.chamber_volume, volumes);
    require(findings, "oil", leg.oil_volume, or_none(volumes));
    require(findings, "exponent", leg.exponent, gas_exponents);
    require(findings, "pressure", leg.pressure, absolute_pressures);
    if (leg.column) add_below(findings, "column", check(*leg.column));
    return findings;
}

Findings check(const EndSpring& spring) {
    Findings findings;
    require(findings, "rate", spring.rate, spring_rates);
    require(findings, "length", spring.length, lengths);
    return findings;
}

void fit_spring(Findings& findings, const MainSpring& spring, const Cartridge& cartridge) {
    if (spring.second && spring.second->from >= cartridge.travel)
        add_error(findings, "support.spring.second.from",
                  fmt::format("the second rate begins at {}, not within the travel of {}",
                              mm(spring.second->from), mm(cartridge.travel)),
                  "damper.travel");
}

void fit_leg(Findings& findings, const Leg& leg, const Cartridge& cartridge) {
    if (leg.diameter <= cartridge.bore) {
        add_error(
            findings, "support.leg.diameter",
            fmt::format("a leg of {} does not go around a bore of {}", mm(leg.diameter), mm(cartridge.bore)),
            "damper.bore");
    } else if (!(air_volume(leg) > 0.0)) {
        add_error(findings, "support.leg.oil", "leaves no air in the leg", "support.leg.chamber_volume");
    } else if (const double limit = air_travel_limit(leg, cartridge); limit <= cartridge.travel) {
        add_error(findings, "support.leg.oil",
                  fmt::format("leaves air for {} of the {} travel: there the leg is full of oil", mm(limit),
                              mm(cartridge.travel)),
                  "damper.travel");
    }
    if (leg.column) add_below(findings, "support.leg.column", check_column(*leg.column, cartridge));
}

void fit_end(Findings& findings, const std::string& key, const EndSpring& spring,
             const Cartridge& cartridge) {
    if (spring.length > cartridge.travel)
        add_error(findings, key + ".length",
                  fmt::format("{} is more than the travel of {}", mm(spring.length), mm(cartridge.travel)),
                  "damper.travel");
}

} // namespace

Findings check(const Load& load) {
    Findings findings;
    require(findings, "sprung", load.sprung_mass, {0.001, 1e5, "kg"});
    require(findings, "rider", load.rider_mass, {0.0, 1e4, "kg"});
    require(findings, "rider_share", load.rider_share, {0.0, 100.0, "%"});
    if (load.rake) require(findings, "rake", *load.rake, {0.0, 89.0, "deg"});
    if (load.motion_ratio) require(findings, "motion_ratio", *load.motion_ratio, {0.001, 100.0, ""});
    if (load.rake && load.motion_ratio)
        add_error(findings, "motion_ratio", "give rake (a fork) or motion_ratio (a shock), not both", "rake");
    if (load.linkage) {
        add_below(findings, "linkage", check(*load.linkage));
        if (load.rake)
            add_error(findings, "linkage", "give rake (a fork) or a linkage (a shock), not both", "rake");
        if (load.motion_ratio)
            add_error(findings, "linkage", "give motion_ratio or a linkage, not both", "motion_ratio");
    }
    if (!load.rake && !load.motion_ratio && !load.linkage)
        add_error(findings, "", "needs rake (a fork), or motion_ratio or vehicle.linkage (a shock)");
    return findings;
}

Findings check_column(const OilColumn& column, const Cartridge& cartridge) {
    Findings findings = check(column);
    if (!findings.empty()) return findings; // what follows compares them
    if (!(column.inside < column.tube))
        add_error(findings, "inside",
                  fmt::format("{} leaves no room in the tube of {}", mm(column.inside), mm(column.tube)),
                  "tube");
    const double shortest = column.spring_length - cartridge.travel;
    if (!(shortest > 0.0)) {
        add_error(findings, "spring_length",
                  fmt::format("a spring of {} cannot give way by the travel of {}", mm(column.spring_length),
                              mm(cartridge.travel)));
    } else if (!(column.spring_volume / shortest < circle_area(column.tube) - circle_area(column.inside))) {
        add_error(findings, "spring_volume",
                  "the steel, over the spring's length in the compressed fork, fills the column", "tube");
    }
    return findings;
}

Findings check(const Support& support) {
    Findings findings;
    if (support.spring) add_below(findings, "spring", check(*support.spring));
    if (support.leg) add_below(findings, "leg", check(*support.leg));
    if (support.top_out) add_below(findings, "top_out", check(*support.top_out));
    if (support.stop) add_below(findings, "stop", check(*support.stop));
    const bool has_friction = require(findings, "friction", support.friction, forces);
    if (require(findings, "breakaway", support.breakaway, forces) && has_friction &&
        support.breakaway < support.friction)
        add_error(findings, "breakaway",
                  fmt::format("{:.4g} N is less than the {:.4g} N of sliding friction", support.breakaway,
                              support.friction),
                  "friction");
    require_count(findings, "legs", support.legs, 1, 2);
    if (support.load) add_below(findings, "load", check(*support.load));
    return findings;
}

namespace {

/// How often the ratio between neighbouring points of a table turns back, and by how much of its mean at
/// most.
struct Wavering {
    int turns = 0;
    double most = 0.0;
};

Wavering wavering(const LinkageTable& table) {
    constexpr double felt = 0.002; // of the ratio; less moves the rate by no more than a spring's own error
    const double mean = table.travel.back() / table.wheel_travel.back();
    const auto ratio = [&](std::size_t i) {
        return (table.travel[i + 1] - table.travel[i]) / (table.wheel_travel[i + 1] - table.wheel_travel[i]);
    };
    Wavering result;
    double extreme = ratio(0); // of the way the ratio goes now, from which it turns back
    double way = 0.0;
    for (std::size_t i = 1; i + 1 < table.travel.size(); ++i) {
        const double step = ratio(i) - extreme;
        if (std::abs(step) <= felt * mean && way * step <= 0.0) continue;
        if (way * step < 0.0) {
            ++result.turns;
            result.most = std::max(result.most, std::abs(step) / mean);
        }
        way = step;
        extreme = ratio(i);
    }
    return result;
}

} // namespace

void question_linkage(Findings& findings, const SetUp& setup) {
    constexpr double usual = 0.05; // of the travel: drawings and dampers are measured apart
    constexpr int most_turns = 2;  // of a ratio that rises, falls and rises again, as levers make it
    const std::optional<Load>& load = setup.support->load;
    if (!load || !load->linkage) return;
    if (const Wavering found = wavering(*load->linkage); found.turns > most_turns)
        add_warning(
            findings, "support.load.linkage.travel",
            fmt::format("from point to point the ratio turns back {} times, by up to {:.2g} %, as by "
                        "errors of measuring; rate and frequency at the wheel follow its slope and go "
                        "astray by far more: give a smooth curve's points, or fewer, farther apart",
                        found.turns, 100.0 * found.most));
    const double last = load->linkage->travel.back();
    const double full = setup.cartridge.travel;
    if (std::abs(last - full) > usual * full)
        add_warning(
            findings, "support.load.linkage.travel",
            fmt::format(
                "the table ends at {:.4g} mm of the unit's travel, which has {:.4g} mm; beyond it goes "
                "straight on",
                last * 1e3, full * 1e3),
            "damper.travel");
}

/// What makes the air of a leg push by more than `most` at full travel [N]: where it still does as open air
/// when extended, the oil that leaves it little room, else its pressure.
const char* what_presses(const SetUp& setup, double most) {
    SetUp open = setup;
    open.support->leg->pressure = p_atm;
    return SupportLaw(open).at(setup.cartridge.travel).force > most ? "support.leg.oil"
                                                                    : "support.leg.pressure";
}

void question_force(Findings& findings, const SetUp& setup) {
    constexpr double most_weights = 20.0; // no wheel is landed on that hard
    constexpr double heavy = 250.0;       // on one wheel, where the file does not say [kg]
    const Support& support = *setup.support;
    const double full = setup.cartridge.travel;
    const double weight = // as it is felt at full travel, where it is compared
        support.load ? force_of(*support.load, true, full) : heavy * standard_gravity;
    const SupportPoint end = SupportLaw(setup).at(full);
    if (!(end.force > most_weights * weight)) return;
    const auto largest = [&](double part) {
        return part >= std::max({end.spring, end.gas, end.reservoir, end.stop});
    };
    const char* key = largest(end.stop)     ? "support.stop.rate"
                      : largest(end.spring) ? "support.spring.rate"
                      : largest(end.gas)    ? what_presses(setup, most_weights * weight)
                                            : "reservoir";
    add_warning(
        findings, key,
        fmt::format("at full travel the support pushes with {:.4g} kN, {:.0f} times {}; is this meant?",
                    end.force / 1e3, end.force / weight,
                    support.load ? std::string("the weight on the wheel")
                                 : fmt::format("the weight of {:.0f} kg", heavy)));
}

void check_fit(Findings& findings, const Support& support, const Cartridge& cartridge) {
    if (support.spring) fit_spring(findings, *support.spring, cartridge);
    if (support.leg) fit_leg(findings, *support.leg, cartridge);
    if (support.top_out) fit_end(findings, "support.top_out", *support.top_out, cartridge);
    if (support.stop) fit_end(findings, "support.stop", *support.stop, cartridge);
}

} // namespace valve::damper
