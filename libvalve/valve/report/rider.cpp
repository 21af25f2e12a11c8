#include <valve/report/figure_words.hpp>
#include <valve/report/rider.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

#include <cmath>

namespace valve::report {

namespace {

using study::Change;
using study::RiderRemark;
using study::RiderRule;

bool is_fork(const damper::SetUp& unit) {
    return unit.cartridge.layout == damper::Layout::closed_cartridge ||
           unit.cartridge.layout == damper::Layout::open_cartridge;
}

std::string speed_words(double speed) {
    return fixed(speed, 1) + " m/s";
}

/// "slow movements: weight shifts, braking".
std::string_view occasion(double speed) {
    if (std::abs(speed) < study::slow_speed) return "slow movements: weight shifts, braking";
    return std::abs(speed) < study::hard_speed ? "ordinary bumps" : "hard hits";
}

std::string_view stretch(double travel_share) {
    if (travel_share < study::first_part) return "at the start of the travel";
    return travel_share < study::last_part ? "in the middle of the travel" : "in the last part of the travel";
}

std::string gain(const Change& change, int digits = 0) {
    const double from = std::abs(*change.from.value);
    return fmt::format("{:+.{}f} %", 100.0 * (std::abs(*change.to.value) - from) / from, digits);
}

/// Whether an onset came later, or went.
bool is_later(const Change& change) {
    return !change.to.value || (change.from.value && *change.to.value > *change.from.value);
}

bool is_more(const Change& change) {
    return std::abs(*change.to.value) > std::abs(*change.from.value);
}

/// "from 1.18 m/s, before not up to 4 m/s", as speeds of the rod.
std::string since_words(const Change& change, double top_speed) {
    const auto since = [&](const study::Figure& figure) {
        if (figure.error.empty() && !figure.value)
            return fmt::format("not up to {} m/s", metres_a_second(top_speed));
        return value_words(figure, top_speed);
    };
    return fmt::format("{} of the rod, before {}", since(change.to), since(change.from));
}

std::string damping_words(const Change& change) {
    const bool more = is_more(change);
    const std::string_view how = *change.to.speed < 0.0
                                     ? (more ? "comes back more slowly" : "comes back faster")
                                     : (more ? "is held more firmly" : "gives way more easily");
    return fmt::format("It {} at {} ({} of force).", how, occasion(*change.to.speed), gain(change));
}

std::string friction_words(const Change& change, const std::string& from, const std::string& to) {
    const bool more = is_more(change);
    if (change.to.quantity == study::Quantity::felt_reservoir_friction)
        return fmt::format("The reservoir rubs {} on the rod ({}, now {}): the first movement comes {}.",
                           more ? "more" : "less", from, to, more ? "later" : "sooner");
    return fmt::format("It {} ({} {}, now {}): small stones are {}.",
                       more ? "moves less freely" : "moves more freely", words(change.to), from, to,
                       more ? "passed on more" : "swallowed better");
}

std::string dead_travel_words(const Change& change, const std::string& from, const std::string& to) {
    const bool is_in = change.to.quantity == study::Quantity::dead_travel_compression;
    return fmt::format("{} it moves {} before its damping is there (at {:g} Hz {}, now {}).",
                       is_in ? "On its way in" : "On its way back", is_more(change) ? "further" : "less far",
                       change.to.frequency.value_or(0.0), from, to);
}

/// A hit that uses all travel would use more if there were more: what is left of it is told.
std::string hit_words(const Change& change, const std::string& from, const std::string& to) {
    const auto used = [](const study::Figure& figure, const std::string& travel) {
        return figure.energy_left ? fmt::format("all travel, {}, and {} J of it are left", travel,
                                                fixed(*figure.energy_left, 0))
                                  : travel;
    };
    if (change.to.energy_left)
        return fmt::format("The same hit uses {}; before, {}.", used(change.to, to), used(change.from, from));
    if (change.from.energy_left)
        return fmt::format("The same hit no longer uses all travel: {}; before, {}.", to,
                           used(change.from, from));
    return fmt::format("The same hit uses {} travel ({}, now {}).", is_more(change) ? "more" : "less", from,
                       to);
}

/// The feeling that a change brings.
std::string changed_words(RiderRule rule, const Change& change, double top_speed) {
    const std::string from = value_words(change.from, top_speed);
    const std::string to = value_words(change.to, top_speed);
    switch (rule) {
    case RiderRule::return_changed:
        return fmt::format("In a series of hits it {} ({}).",
                           is_later(change) ? "keeps following the ground longer, its strokes hollow later"
                                            : "runs hollow sooner",
                           since_words(change, top_speed));
    case RiderRule::hanging_changed:
        return fmt::format("After a drop, wheel hanging, its first stroke runs hollow {} ({}).",
                           is_later(change) ? "later" : "sooner", since_words(change, top_speed));
    case RiderRule::turn_changed:
        return fmt::format("After hard hits it starts back undamped for a moment {} ({}).",
                           is_later(change) ? "only when they are harder" : "sooner",
                           since_words(change, top_speed));
    case RiderRule::lead_changed:
        return fmt::format("Hard hits feel dull and stiff, and clicks at the foot do little there, {} ({}).",
                           is_later(change) ? "later than before" : "sooner than before",
                           since_words(change, top_speed));
    case RiderRule::damping_changed:
        return damping_words(change);
    case RiderRule::support_changed:
        return fmt::format("It is carried {} {} ({}).",
                           is_more(change) ? "higher and stiffer" : "lower and softer",
                           stretch(*change.to.travel_share), gain(change));
    case RiderRule::last_part_changed:
        return fmt::format("The last part of the travel is {} ({} at {} % of it), the first as before.",
                           is_more(change) ? "firmer" : "softer", gain(change, 1),
                           percent(*change.to.travel_share));
    case RiderRule::sag_changed:
        return fmt::format("With you on it, it settles {} than before ({}, now {}).",
                           *change.to.value > *change.from.value ? "lower" : "less", from, to);
    case RiderRule::friction_changed:
        return friction_words(change, from, to);
    case RiderRule::hit_changed:
        return hit_words(change, from, to);
    case RiderRule::dead_travel_changed:
        return dead_travel_words(change, from, to);
    case RiderRule::figure_changed:
        return fmt::format("What changes most is {}, {} → {}: {} steps that a rider notices.",
                           words(change.to), from, to, fixed(change.noticed, 1));
    default:
        return fmt::format("Little: what moves most is {}, {} → {}, {} of the step that a rider notices.",
                           words(change.to), from, to, fixed(change.noticed, 2));
    }
}

std::string settles_words(const RiderRemark& remark, std::string_view unit) {
    const std::string_view judged = !remark.limit ? "as usual"
                                    : *remark.limit == study::usual_sag_least
                                        ? "less than usual: it rides high"
                                        : "more than usual: it rides low";
    const std::string at_unit = fixed(*remark.amount * 1e3, 0);
    const std::string at_wheel = remark.at_wheel ? fixed(*remark.at_wheel * 1e3, 0) : at_unit;
    if (at_wheel == at_unit)
        return fmt::format("With you on it the {} settles {} mm, {} % of its travel; that is {}.", unit,
                           at_unit, percent(*remark.value), judged);
    return fmt::format(
        "With you on it the wheel settles {} mm, {} % of its travel ({} mm at the {}); that is {}.", at_wheel,
        percent(*remark.value), at_unit, unit, judged);
}

} // namespace

std::string sentence(const RiderRemark& remark, std::string_view unit, double top_speed) {
    if (remark.change) return changed_words(remark.rule, *remark.change, top_speed);
    const double value = remark.value.value_or(0.0);
    switch (remark.rule) {
    case RiderRule::hollow_return:
        return fmt::format(
            "After a hit the {} comes back faster than its oil can follow: from {} on the way out a void "
            "forms behind the piston. The next stroke then begins with nothing to push against: hollow "
            "first, hard after it.",
            unit, speed_words(value));
    case RiderRule::hollow_when_fast:
        return fmt::format(
            "Only a very fast return, from {}, outruns the oil of the {}; ordinary ground does "
            "not reach that.",
            speed_words(value), unit);
    case RiderRule::follows:
        return fmt::format(
            "The oil follows the {} on its way out at any speed up to {}: each stroke begins damped.", unit,
            speed_words(*remark.limit));
    case RiderRule::hollow_hanging:
        return fmt::format("With the wheel hanging, after a drop or over a crest, that begins at {} already.",
                           speed_words(value));
    case RiderRule::empties_inwards:
        return fmt::format("From {} inwards the space above the piston runs empty: after such a hit the {} "
                           "starts back undamped for a moment.",
                           speed_words(value), unit);
    case RiderRule::rod_valve_leads:
        return fmt::format(
            "At {} and faster the valve on the rod takes more pressure than the one at the foot: "
            "the space round the rod nears empty. Hard hits feel dull and stiff, and clicks at "
            "the foot do little there.",
            speed_words(value));
    case RiderRule::settles:
        return settles_words(remark, unit);
    case RiderRule::sticks:
        return fmt::format("It takes {} N to make it move, {} % of what it carries: small stones reach the "
                           "hands or the seat before it works.",
                           newton(*remark.amount), percent(value));
    case RiderRule::bottoms:
        return fmt::format("A hit of {} J uses all its travel.", fixed(value, 0));
    default:
        return "Nothing is computed to have changed.";
    }
}

std::vector<std::string> rider_sentences(const study::CurveResult& curve,
                                         const study::SupportResult* support) {
    const std::string_view unit = is_fork(*curve.reading.unit) ? "fork" : "shock";
    std::vector<std::string> said;
    for (const RiderRemark& remark : study::for_the_rider(curve, support))
        said.push_back(sentence(remark, unit, curve.options.top_speed));
    return said;
}

std::vector<std::string> rider_sentences(const study::Variant& variant, double top_speed) {
    std::vector<std::string> said;
    for (const RiderRemark& remark : study::for_the_rider(variant))
        said.push_back(sentence(remark, "", top_speed));
    return said;
}

std::string rules_for_the_rider() {
    return fmt::format(
        "Sentences for the rider come from the numbers by fixed rules, all common practice without a "
        "source: {:g} m/s of rod speed is what rough ground brings, {:g} m/s what a hanging wheel reaches; "
        "sag "
        "of {:g} to {:g} % of the travel is usual; friction of more than {:g} % of the load is felt; below "
        "{:g} m/s a movement is slow, from {:g} m/s on a hit is hard; the travel starts up to {:g} % of it "
        "and "
        "ends from {:g} % on; a change is told if it is at least one noticeable step, as compare counts "
        "them, "
        "and with its number where it is less.",
        study::stony_speed, study::hanging_speed, study::usual_sag_least * 100.0,
        study::usual_sag_most * 100.0, study::sticky_share * 100.0, study::slow_speed, study::hard_speed,
        study::first_part * 100.0, study::last_part * 100.0);
}

} // namespace valve::report
