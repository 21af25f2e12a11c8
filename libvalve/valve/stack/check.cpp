#include <valve/core/findings.hpp>
#include <valve/plate/check.hpp>
#include <valve/plate/edge.hpp>
#include <valve/stack/check.hpp>
#include <valve/stack/detail/load.hpp>
#include <valve/stack/spec.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <string>
#include <utility>
#include <vector>

namespace valve::stack {
namespace {

std::string mm(double metres) {
    return fmt::format("{:.4g} mm", 1e3 * metres);
}
std::string across(double radius) {
    return mm(2.0 * radius);
}

constexpr Limits diameters{0.01, 1000.0, "mm"};
constexpr Limits diameters_or_none{0.0, 1000.0, "mm"}; // where the stack does without

void check_material(const Stack& stack, std::size_t shim, const std::string& key, Findings& findings) {
    if (shim > 0 && stack.shims[shim].material == stack.shims[shim - 1].material) return; // said once
    add_below(findings, key, plate::check(stack.shims[shim].material));
}

/// Errors of single numbers; how they fit together is checked only where there are none.
Findings check_numbers(const Stack& stack) {
    Findings findings;
    for (std::size_t i = 0; i < stack.shims.size(); ++i) {
        const std::string key = fmt::format("shims[{}]", i + 1);
        require(findings, key + ".outer", 2.0 * stack.shims[i].outer_radius, diameters);
        require(findings, key + ".thickness", stack.shims[i].thickness, {0.001, 50.0, "mm"});
        check_material(stack, i, key + ".material", findings);
    }
    if (stack.disc) {
        require(findings, "disc.diameter", 2.0 * stack.disc->outer_radius, diameters);
        require(findings, "disc.mass", stack.disc->mass, {0.0, 10.0, "kg"}); // 0: not stated
    }
    require(findings, "clamp", 2.0 * stack.clamp_radius, stack.disc ? diameters_or_none : diameters);
    require(findings, "bore", 2.0 * stack.bore_radius,
            stack.disc || !stack.floating ? diameters_or_none : diameters);
    require(findings, "zone.inner", 2.0 * stack.zone.inner_radius, diameters_or_none);
    require(findings, "zone.outer", 2.0 * stack.zone.outer_radius, diameters);
    require(findings, "coverage", stack.coverage, {0.001, 1.0, ""});
    require_count(findings, "ports.count", stack.windows, 0, 1000);
    require(findings, "seat.inner", 2.0 * stack.seat.inner_radius, diameters);
    require(findings, "seat.outer", 2.0 * stack.seat.outer_radius, diameters);
    require(findings, "seat.height", stack.seat.height, {-50.0, 50.0, "mm"}); // below the hub: a gap at rest
    if (!stack.floating) return findings;
    const Float& floating = *stack.floating;
    const Limits rings = stack.disc ? diameters_or_none : diameters;
    require(findings, "float.travel", floating.travel, {1e-5, 1000.0, "mm"});
    require(findings, "float.rate", floating.spring_rate, {0.0, 1e6, "N/mm"});
    require(findings, "float.at", 2.0 * floating.ring_radius, rings);
    require(findings, "float.spring_at", 2.0 * floating.spring_radius, rings);
    require(findings, "float.stop_at", 2.0 * floating.stop_radius, rings);
    if (!floating.adjuster) {
        require(findings, "float.preload", floating.preload, {0.0, 1e7, "N"});
        return findings;
    }
    const SpringAdjuster& adjuster = *floating.adjuster;
    const bool turns = require(findings, "float.adjuster.turns", adjuster.turns, {0.0, 1000.0, ""});
    require(findings, "float.adjuster.per_turn", adjuster.per_turn, {0.001, 100.0, "mm"});
    const bool range = require(findings, "float.adjuster.of", adjuster.range, above_zero_to(1000.0, ""));
    // Turns beyond the range leave no preload: it is they that are told then.
    if (!turns || !range || adjuster.turns <= adjuster.range)
        require(findings, "float.preload", floating.preload, {0.0, 1e7, "N"});
    return findings;
}

void check_seat(const Stack& stack, Findings& findings) {
    const Seat& seat = stack.seat;
    const Zone& zone = stack.zone;
    if (seat.inner_radius > seat.outer_radius + plate::same_edge)
        add_error(findings, "seat.inner",
                  fmt::format("the seat's inner diameter {} is larger than its outer {}",
                              across(seat.inner_radius), across(seat.outer_radius)),
                  "seat.outer");
    if (zone.inner_radius >= seat.inner_radius - plate::same_edge)
        add_error(findings, "zone.inner",
                  fmt::format("the pressure zone begins at {}, at or outside the seat's inner diameter {}",
                              across(zone.inner_radius), across(seat.inner_radius)),
                  "seat.inner");
    if (zone.outer_radius <= zone.inner_radius + plate::same_edge)
        add_error(findings, "zone.outer",
                  fmt::format("the pressure zone ends at {}, where it begins ({})", across(zone.outer_radius),
                              across(zone.inner_radius)),
                  "zone.inner");
    else if (std::abs(zone.outer_radius - seat.inner_radius) > plate::same_edge)
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
    if (stack.disc->outer_radius < stack.seat.outer_radius - plate::same_edge)
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
    else if (stack.shims.front().outer_radius < stack.seat.outer_radius - plate::same_edge)
        add_error(findings, "seat.outer",
                  fmt::format("the seat reaches {}, the face shim only {}", across(stack.seat.outer_radius),
                              across(stack.shims.front().outer_radius)),
                  "shims");
    if (clamp >= stack.seat.inner_radius - plate::same_edge)
        add_error(findings, "clamp",
                  fmt::format("the clamp, {} across, covers the seat, which begins at {}", across(clamp),
                              across(stack.seat.inner_radius)),
                  "seat.inner");
    if (!stack.floating && stack.zone.inner_radius < clamp - plate::same_edge)
        add_warning(
            findings, "zone.inner",
            fmt::format("the pressure zone begins at {}, under the clamp ({}); there it bends nothing",
                        across(stack.zone.inner_radius), across(clamp)),
            "clamp");
}

/// Whether the diameters rise, by more than one step, from one to the next.
bool only_rises(const std::vector<double>& sizes) {
    return sizes.size() > 2 && std::is_sorted(sizes.begin(), sizes.end());
}

/// What a list of shims that was written the other way round, or in the wrong unit, looks like.
void question_shims(const Stack& stack, Findings& findings) {
    constexpr double thickest = 0.6e-3; // that is usual in a stack (common practice, no source) [m]
    std::vector<double> others;         // diameters behind the face shims, each once
    for (std::size_t i = 0; i < stack.shims.size(); ++i) {
        const Shim& shim = stack.shims[i];
        if (shim.thickness > thickest && !is_spacer(stack, shim))
            add_warning(findings, fmt::format("shims[{}]", i + 1),
                        fmt::format("a shim of {} hardly bends; is {} meant?", mm(shim.thickness),
                                    mm(0.1 * shim.thickness)));
        const double diameter = 2.0 * shim.outer_radius;
        const bool is_face = others.empty() && shim.outer_radius == stack.shims.front().outer_radius;
        if (!is_face && (others.empty() || others.back() != diameter)) others.push_back(diameter);
    }
    if (others.empty()) return;
    const double face = 2.0 * stack.shims.front().outer_radius;
    if (others.front() > face)
        add_warning(
            findings, "shims",
            fmt::format("the face shim, {} across, is smaller than the next, {}; is the list in order, "
                        "from the piston face?",
                        mm(face), mm(others.front())));
    else if (only_rises(others))
        add_warning(
            findings, "shims",
            fmt::format("behind the face shim, {} across, the shims grow from {} to {}; is the list in "
                        "order, from the piston face?",
                        mm(face), mm(others.front()), mm(others.back())));
}

void check_adjuster(const SpringAdjuster& adjuster, double spring_rate, Findings& findings) {
    if (adjuster.turns > adjuster.range)
        add_error(findings, "float.adjuster.turns",
                  fmt::format("{:g} turns lie outside the adjuster's range, 0 to {:g}", adjuster.turns,
                              adjuster.range),
                  "float.adjuster.of");
    if (spring_rate == 0.0)
        add_error(findings, "float.adjuster", "turns in a spring without rate, which changes nothing",
                  "float.rate");
}

/// Warns where the coil bears outside a smaller shim below the last: shims then part on the ring that floats,
/// while they are taken to rise there as one.
void question_spring_ring(const Stack& stack, const Shim& last, Findings& findings) {
    const Float& floating = *stack.floating;
    const auto end = stack.shims.begin() + (&last - stack.shims.data());
    const auto smallest = std::min_element(stack.shims.begin(), end, [](const Shim& a, const Shim& b) {
        return a.outer_radius < b.outer_radius;
    });
    if (smallest == end || smallest->outer_radius > floating.spring_radius - plate::same_edge) return;
    const auto number = smallest - stack.shims.begin() + 1;
    add_warning(findings, "float.spring_at",
                fmt::format("shim {}, {} across, ends inside the ring where the coil bears, {} across: shims "
                            "may part on the ring that floats, {} across, where they are taken to rise as "
                            "one. That is not computed; such a stack cracks earlier and lifts more",
                            number, across(smallest->outer_radius), across(floating.spring_radius),
                            across(floating.ring_radius)),
                "shims");
}

void check_float(const Stack& stack, Findings& findings) {
    const Float& floating = *stack.floating;
    if (floating.spring_rate == 0.0)
        add_warning(findings, "float.rate",
                    fmt::format("a float without a spring opens all at once; it is given one that takes {} "
                                "mbar over the travel",
                                0.01 * no_spring_pressure));
    if (floating.adjuster) check_adjuster(*floating.adjuster, floating.spring_rate, findings);
    if (stack.disc) return;
    if (stack.bore_radius > floating.ring_radius + plate::same_edge)
        add_error(findings, "bore",
                  fmt::format("the bore, {} across, is larger than the ring the stack rests on ({})",
                              across(stack.bore_radius), across(floating.ring_radius)),
                  "float.at");
    if (stack.zone.inner_radius < stack.bore_radius - plate::same_edge)
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
        if (radius > last->outer_radius + plate::same_edge)
            add_error(findings, key,
                      fmt::format("this ring, {} across, lies outside the last shim ({})", across(radius),
                                  across(last->outer_radius)),
                      "shims");
        if (radius < stack.bore_radius - plate::same_edge)
            add_error(findings, key,
                      fmt::format("this ring, {} across, lies inside the bore of the shims ({})",
                                  across(radius), across(stack.bore_radius)),
                      "bore");
    }
    question_spring_ring(stack, *last, findings);
    const bool apart = std::abs(floating.stop_radius - floating.ring_radius) > plate::same_edge;
    if (apart && floating.stop_radius > stack.seat.inner_radius - plate::same_edge &&
        floating.stop_radius < stack.seat.outer_radius + plate::same_edge)
        add_error(findings, "float.stop_at",
                  fmt::format("the stop ring, {} across, lies over the seat", across(floating.stop_radius)),
                  "seat.inner");
}

} // namespace

double height_of(const std::vector<Shim>& shims) {
    return std::accumulate(shims.begin(), shims.end(), 0.0,
                           [](double sum, const Shim& shim) { return sum + shim.thickness; });
}

bool is_spacer(const Stack& stack, const Shim& shim) {
    return shim.outer_radius <= stack.clamp_radius + plate::same_edge;
}

Findings check(const Stack& stack) {
    Findings findings = check_numbers(stack);
    if (!findings.empty()) return findings; // what follows compares them
    check_seat(stack, findings);
    if (stack.disc)
        check_disc(stack, findings);
    else
        check_shims(stack, findings);
    if (stack.floating) check_float(stack, findings);
    if (first_error(findings) == nullptr) question_shims(stack, findings);
    return findings;
}

Findings check(const FollowOptions& options) {
    Findings findings;
    // A curve ends by itself long before the greatest of these.
    require(findings, "max_pressure", options.max_pressure, {1e-5, 1e8, "bar"});
    return findings;
}

Findings check(const ModesOptions& options) {
    Findings findings;
    if (options.pressure) require(findings, "pressure", *options.pressure, {0.0, greatest_bar, "bar"});
    require(findings, "oil_density", options.oil_density, {0.0, 20000.0, "kg/m3"});
    require_count(findings, "most_diameters", options.most_diameters, 0, 50);
    require_count(findings, "families", options.families, 1, 50);
    return findings;
}

} // namespace valve::stack
