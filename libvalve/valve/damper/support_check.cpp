#include <valve/core/findings.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/damper/leg_air.hpp>
#include <valve/damper/support_check.hpp>

#include <fmt/format.h>

#include <numbers>
#include <string>

namespace valve::damper {

namespace {

std::string mm(double length) {
    return fmt::format("{:.4g} mm", length * 1e3);
}

void check_spring(Findings& findings, const MainSpring& spring, const Cartridge& cartridge) {
    require_positive(findings, "support.spring.rate", spring.rate);
    require_not_negative(findings, "support.spring.preload", spring.preload);
    if (!spring.second) return;
    require_positive(findings, "support.spring.second.rate", spring.second->rate);
    require_not_negative(findings, "support.spring.second.from", spring.second->from);
    if (spring.second->from >= cartridge.travel)
        add_error(findings, "support.spring.second.from",
                  fmt::format("the second rate begins at {}, not within the travel of {}",
                              mm(spring.second->from), mm(cartridge.travel)),
                  "damper.travel");
    if (spring.second->rate < spring.rate)
        add_warning(findings, "support.spring.second.rate",
                    "lower than the first: a coil that closes on itself only grows stiffer",
                    "support.spring.rate");
}

void check_leg(Findings& findings, const Leg& leg, const Cartridge& cartridge) {
    require_positive(findings, "support.leg.diameter", leg.diameter);
    require_positive(findings, "support.leg.chamber_volume", leg.chamber_volume);
    require_not_negative(findings, "support.leg.oil", leg.oil_volume);
    require_positive(findings, "support.leg.exponent", leg.exponent);
    require_positive(findings, "support.leg.pressure", leg.pressure);
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

void check_end(Findings& findings, const std::string& key, const EndSpring& spring,
               const Cartridge& cartridge) {
    require_positive(findings, key + ".rate", spring.rate);
    require_positive(findings, key + ".length", spring.length);
    if (spring.length > cartridge.travel)
        add_error(findings, key + ".length",
                  fmt::format("{} is more than the travel of {}", mm(spring.length), mm(cartridge.travel)),
                  "damper.travel");
}

void check_load(Findings& findings, const Load& load) {
    require_positive(findings, "support.load.sprung", load.sprung_mass);
    require_not_negative(findings, "support.load.rider", load.rider_mass);
    if (!(load.rider_share >= 0.0 && load.rider_share <= 1.0))
        add_error(findings, "support.load.rider_share", "must lie between 0 and 1 (100 %)");
    if (load.rake && load.motion_ratio)
        add_error(findings, "support.load.motion_ratio",
                  "give rake (a fork) or motion_ratio (a shock), not both", "support.load.rake");
    if (!load.rake && !load.motion_ratio)
        add_error(findings, "support.load", "needs rake (a fork) or motion_ratio (a shock)");
    if (load.rake && !(*load.rake >= 0.0 && *load.rake < 0.5 * std::numbers::pi))
        add_error(findings, "support.load.rake", "must lie between 0 and 90 deg");
    if (load.motion_ratio) require_positive(findings, "support.load.motion_ratio", *load.motion_ratio);
}

} // namespace

Findings check_column(const OilColumn& column, const Cartridge& cartridge) {
    Findings findings;
    require_positive(findings, "tube", column.tube);
    require_not_negative(findings, "inside", column.inside);
    require_positive(findings, "length", column.length);
    require_not_negative(findings, "spring_volume", column.spring_volume);
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

Findings check_support(const Support& support, const Cartridge& cartridge) {
    Findings findings;
    if (support.spring) check_spring(findings, *support.spring, cartridge);
    if (support.leg) check_leg(findings, *support.leg, cartridge);
    if (support.top_out) check_end(findings, "support.top_out", *support.top_out, cartridge);
    if (support.stop) check_end(findings, "support.stop", *support.stop, cartridge);
    require_not_negative(findings, "support.friction", support.friction);
    if (!(support.breakaway >= support.friction))
        add_error(findings, "support.breakaway",
                  fmt::format("{:.4g} N is less than the {:.4g} N of sliding friction", support.breakaway,
                              support.friction),
                  "support.friction");
    if (support.legs != 1 && support.legs != 2) add_error(findings, "support.legs", "must be 1 or 2");
    if (support.load) check_load(findings, *support.load);
    return findings;
}

} // namespace valve::damper
