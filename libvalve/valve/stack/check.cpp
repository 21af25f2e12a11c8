#include <valve/core/findings.hpp>
#include <valve/stack/detail/load.hpp>
#include <valve/stack/spec.hpp>

#include <fmt/format.h>

#include <cmath>
#include <utility>

namespace valve::stack {
namespace {

/// Edges closer than this are one [m].
constexpr double same_edge = 5e-6;

std::string mm(double metres) {
    return fmt::format("{:.4g} mm", 1e3 * metres);
}
std::string across(double radius) {
    return mm(2.0 * radius);
}

void check_seat(const Stack& stack, Findings& findings) {
    const Seat& seat = stack.seat;
    const Zone& zone = stack.zone;
    if (seat.inner_radius > seat.outer_radius + same_edge)
        add_error(findings, "seat.inner",
                  fmt::format("the seat's inner diameter {} is larger than its outer {}",
                              across(seat.inner_radius), across(seat.outer_radius)),
                  "seat.outer");
    if (zone.inner_radius >= seat.inner_radius - same_edge)
        add_error(findings, "zone.inner",
                  fmt::format("the pressure zone begins at {}, at or outside the seat's inner diameter {}",
                              across(zone.inner_radius), across(seat.inner_radius)),
                  "seat.inner");
    if (zone.outer_radius <= zone.inner_radius + same_edge)
        add_error(findings, "zone.outer",
                  fmt::format("the pressure zone ends at {}, where it begins ({})", across(zone.outer_radius),
                              across(zone.inner_radius)),
                  "zone.inner");
    else if (std::abs(zone.outer_radius - seat.inner_radius) > same_edge)
        add_warning(findings, "zone.outer",
                    fmt::format("the pressure zone ends at {}, the seat begins at {}; the load is taken to "
                                "reach the seat",
                                across(zone.outer_radius), across(seat.inner_radius)),
                    "seat.inner");
}

void check_disc(const Stack& stack, Findings& findings) {
    if (!stack.floating)
        add_error(findings, "float", "a rigid disc needs a float: the coil that closes it and its travel");
    if (!stack.shims.empty()) add_error(findings, "disc", "a valve has either shims or a disc", "shims");
    if (stack.disc->outer_radius < stack.seat.outer_radius - same_edge)
        add_error(findings, "seat.outer",
                  fmt::format("the seat reaches {}, the disc only {}", across(stack.seat.outer_radius),
                              across(stack.disc->outer_radius)),
                  "disc.diameter");
}

void check_shims(const Stack& stack, Findings& findings) {
    const double clamp = stack.clamp_radius;
    if (stack.shims.empty()) {
        add_error(findings, "shims", "the stack has no shim");
        return;
    }
    if (is_spacer(stack, stack.shims.front()))
        add_error(findings, "shims",
                  fmt::format("the face shim, {} across, is no larger than the clamp {}: it closes "
                              "nothing",
                              across(stack.shims.front().outer_radius), across(clamp)),
                  "clamp");
    else if (stack.shims.front().outer_radius < stack.seat.outer_radius - same_edge)
        add_error(findings, "seat.outer",
                  fmt::format("the seat reaches {}, the face shim only {}", across(stack.seat.outer_radius),
                              across(stack.shims.front().outer_radius)),
                  "shims");
    if (clamp >= stack.seat.inner_radius - same_edge)
        add_error(findings, "clamp",
                  fmt::format("the clamp, {} across, covers the seat, which begins at {}", across(clamp),
                              across(stack.seat.inner_radius)),
                  "seat.inner");
    if (!stack.floating && stack.zone.inner_radius < clamp - same_edge)
        add_warning(
            findings, "zone.inner",
            fmt::format("the pressure zone begins at {}, under the clamp ({}); there it bends nothing",
                        across(stack.zone.inner_radius), across(clamp)),
            "clamp");
}

void check_adjuster(const SpringAdjuster& adjuster, double spring_rate, Findings& findings) {
    require_positive(findings, "float.adjuster.per_turn", adjuster.per_turn);
    if (!(adjuster.turns >= 0.0 && adjuster.turns <= adjuster.range))
        add_error(findings, "float.adjuster.turns",
                  fmt::format("{:g} turns lie outside the adjuster's range, 0 to {:g}", adjuster.turns,
                              adjuster.range),
                  "float.adjuster.of");
    if (spring_rate == 0.0)
        add_error(findings, "float.adjuster", "turns in a spring without rate, which changes nothing",
                  "float.rate");
}

void check_float(const Stack& stack, Findings& findings) {
    const Float& floating = *stack.floating;
    if (!(floating.travel > 0.0)) add_error(findings, "float.travel", "a float needs a travel above zero");
    if (floating.spring_rate == 0.0)
        add_warning(findings, "float.rate",
                    fmt::format("a float without a spring opens all at once; it is given one that takes {} "
                                "mbar over the travel",
                                0.01 * no_spring_pressure));
    if (floating.adjuster) check_adjuster(*floating.adjuster, floating.spring_rate, findings);
    if (stack.disc) return;
    if (stack.bore_radius > floating.ring_radius + same_edge)
        add_error(findings, "bore",
                  fmt::format("the bore, {} across, is larger than the ring the stack rests on ({})",
                              across(stack.bore_radius), across(floating.ring_radius)),
                  "float.at");
    if (stack.zone.inner_radius < stack.bore_radius - same_edge)
        add_error(findings, "zone.inner",
                  fmt::format("the pressure zone begins at {}, inside the bore of the shims ({})",
                              across(stack.zone.inner_radius), across(stack.bore_radius)),
                  "bore");
    const Shim* last = nullptr;
    for (const Shim& shim : stack.shims)
        if (!is_spacer(stack, shim)) last = &shim;
    if (last == nullptr) return;
    for (const auto& [key, radius] : {std::pair{"float.spring_at", floating.spring_radius},
                                      std::pair{"float.stop_at", floating.stop_radius}}) {
        if (radius > last->outer_radius + same_edge)
            add_error(findings, key,
                      fmt::format("this ring, {} across, lies outside the last shim ({})", across(radius),
                                  across(last->outer_radius)),
                      "shims");
        if (radius < stack.bore_radius - same_edge)
            add_error(findings, key,
                      fmt::format("this ring, {} across, lies inside the bore of the shims ({})",
                                  across(radius), across(stack.bore_radius)),
                      "bore");
    }
    const bool apart = std::abs(floating.stop_radius - floating.ring_radius) > same_edge;
    if (apart && floating.stop_radius > stack.seat.inner_radius - same_edge &&
        floating.stop_radius < stack.seat.outer_radius + same_edge)
        add_error(findings, "float.stop_at",
                  fmt::format("the stop ring, {} across, lies over the seat", across(floating.stop_radius)),
                  "seat.inner");
}

} // namespace

bool is_spacer(const Stack& stack, const Shim& shim) {
    return shim.outer_radius <= stack.clamp_radius + same_edge;
}

Findings check(const Stack& stack) {
    Findings findings;
    check_seat(stack, findings);
    if (stack.disc)
        check_disc(stack, findings);
    else
        check_shims(stack, findings);
    if (stack.floating) check_float(stack, findings);
    if (!(stack.coverage > 0.0 && stack.coverage <= 1.0))
        add_error(findings, "coverage",
                  fmt::format("{:.4g} is not a share of the ring between 0 and 1", stack.coverage));
    if (stack.windows < 0)
        add_error(findings, "ports.count", fmt::format("{} is no number of windows", stack.windows));
    return findings;
}

} // namespace valve::stack
