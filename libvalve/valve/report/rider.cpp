#include <valve/report/rider.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <utility>

namespace valve::report {

namespace {

// Rules of the trade: common practice, no source.
constexpr double stony_speed = 2.0;      // of the rod, that rough ground brings all day [m/s]
constexpr double hanging_speed = 1.0;    // of the rod, coming back near full extension [m/s]
constexpr double sticky_share = 0.05;    // of the load carried, that breakaway may take [-]
constexpr double usual_sag_least = 0.25; // of the travel [-]
constexpr double usual_sag_most = 0.35;

using Sentences = std::vector<std::string>;

bool is_fork(const damper::SetUp& unit) {
    return unit.cartridge.layout == damper::Layout::closed_cartridge ||
           unit.cartridge.layout == damper::Layout::open_cartridge;
}

std::string speed_words(double speed) {
    return fixed(speed, 1) + " m/s";
}

void add_refill(Sentences& said, const study::CurveResult& result, std::string_view unit) {
    const std::optional<double>& onset = result.curve.void_onset.rebound;
    const std::optional<double>& hanging = result.curve.void_onset_near_extension.rebound;
    if (onset && *onset <= stony_speed)
        said.push_back(fmt::format(
            "After a hit the {} comes back faster than its oil can follow: from {} on the way out a void "
            "forms behind the piston. The next stroke then begins with nothing to push against: hollow "
            "first, hard after it.",
            unit, speed_words(*onset)));
    else if (onset)
        said.push_back(fmt::format("Only a very fast return, from {}, outruns the oil of the {}; ordinary "
                                   "ground does not reach that.",
                                   speed_words(*onset), unit));
    else if (!result.curve.void_onset.error)
        said.push_back(fmt::format(
            "The oil follows the {} on its way out at any speed up to {}: each stroke begins damped.", unit,
            speed_words(result.options.top_speed)));
    if (hanging && *hanging <= hanging_speed && (!onset || *hanging < *onset))
        said.push_back(
            fmt::format("With the wheel hanging, after a drop or over a crest, that begins at {} already.",
                        speed_words(*hanging)));
}

void add_compression(Sentences& said, const study::CurveResult& result, std::string_view unit) {
    if (const std::optional<double>& onset = result.curve.void_onset.compression)
        said.push_back(fmt::format("From {} inwards the space above the piston runs empty: after such a hit "
                                   "the {} starts back undamped for a moment.",
                                   speed_words(*onset), unit));
    if (!is_fork(*result.reading.unit)) return; // in a gas shock a negative margin is normal
    std::optional<double> led;
    for (const damper::SteadyPoint& point : result.curve.points)
        if (point.balance_margin && *point.balance_margin < 0.0 && (!led || point.speed < *led))
            led = point.speed;
    if (led)
        said.push_back(
            fmt::format("At {} and faster the valve on the rod does more than the one at the foot: "
                        "hard hits feel dull and stiff, and clicks at the foot do little there.",
                        speed_words(*led)));
}

void add_support(Sentences& said, const SupportResult& support, std::string_view unit) {
    if (!support.sag) return;
    const double share = support.sag->rest.travel / support.law.travel();
    const std::string_view judged = share < usual_sag_least  ? "less than usual: it rides high"
                                    : share > usual_sag_most ? "more than usual: it rides low"
                                                             : "as usual";
    said.push_back(fmt::format("With you on it the {} settles {} mm, {} % of its travel; that is {}.", unit,
                               fixed(support.sag->rest.travel * 1e3, 0), fixed(share * 100.0, 0), judged));
    const double breakaway = support.law.breakaway();
    if (support.sag->force > 0.0 && breakaway > sticky_share * support.sag->force)
        said.push_back(fmt::format("It takes {} N to make it move, {} % of what it carries: small stones "
                                   "reach the hands or the seat before it works.",
                                   newton(breakaway), fixed(100.0 * breakaway / support.sag->force, 0)));
    if (support.hit_is_stated && support.hit_used.at_end == damper::AtEnd::compressed)
        said.push_back(fmt::format("A hit of {} J uses all its travel.", fixed(support.hit, 0)));
}

/// "slow movements (weight shifts, braking)".
std::string_view occasion(double speed) {
    if (std::abs(speed) < 0.5) return "slow movements: weight shifts, braking";
    return std::abs(speed) < 2.0 ? "ordinary bumps" : "hard hits";
}

std::string percent(double from, double to) {
    return fmt::format("{:+.0f} %", 100.0 * (to - from) / std::abs(from));
}

/// Whether an onset came later, or went.
bool is_later(const Change& change) {
    return !change.to.value || (change.from.value && *change.to.value > *change.from.value);
}

std::string force_words(const Change& change) {
    const bool rebound = *change.to.speed < 0.0;
    const bool more = std::abs(*change.to.value) > std::abs(*change.from.value);
    const std::string_view how = rebound ? (more ? "comes back more slowly" : "comes back faster")
                                         : (more ? "is held more firmly" : "gives way more easily");
    return fmt::format("It {} at {} ({} of force).", how, occasion(*change.to.speed),
                       percent(std::abs(*change.from.value), std::abs(*change.to.value)));
}

std::string_view stretch(double travel_share) {
    if (travel_share < 0.3) return "at the start of the travel";
    return travel_share < 0.7 ? "in the middle of the travel" : "in the last part of the travel";
}

std::string support_words(const Change& change) {
    const bool more = *change.to.value > *change.from.value;
    return fmt::format("It is carried {} {} ({}).", more ? "higher and stiffer" : "lower and softer",
                       stretch(*change.to.travel_share), percent(*change.from.value, *change.to.value));
}

/// What a sentence on `figure` is about, so that nothing is told twice.
std::string subject(const Figure& figure) {
    std::string text = family_words(figure);
    if (figure.speed) text += occasion(*figure.speed);
    if (figure.travel_share) text += stretch(*figure.travel_share);
    return text;
}

/// The feeling that a change brings; empty where a rider has no word for it.
std::string words_of(const Change& change, double top_speed) {
    const auto from = [&] { return value_words(change.from, top_speed); };
    const auto to = [&] { return value_words(change.to, top_speed); };
    const bool both = change.from.value && change.to.value;
    switch (change.to.quantity) {
    case Quantity::void_onset_rebound:
        return fmt::format("In a series of hits it {} (hollow strokes {}, now {}).",
                           is_later(change) ? "keeps following the ground longer" : "runs hollow sooner",
                           from(), to());
    case Quantity::void_onset_near_extension_rebound:
        return fmt::format("After a drop, wheel hanging, its first stroke is damped {} (hollow {}, now {}).",
                           is_later(change) ? "better" : "worse", from(), to());
    case Quantity::void_onset_compression:
        return fmt::format("After the hardest hits it turns round {} (undamped {}, now {}).",
                           is_later(change) ? "better damped" : "less damped", from(), to());
    case Quantity::balance_negative_from:
        return fmt::format("The valve at the foot leads {} (overrun {}, now {}).",
                           is_later(change) ? "up to harder hits" : "up to milder hits only", from(), to());
    case Quantity::damping_force:
        return both ? force_words(change) : "";
    case Quantity::support_force:
        return both && change.to.travel_share ? support_words(change) : "";
    case Quantity::rider_sag:
        return both ? fmt::format("With you on it, it settles {} than before ({}, now {}).",
                                  *change.to.value > *change.from.value ? "lower" : "less", from(), to())
                    : "";
    default:
        return ""; // told by the others, or felt by nobody
    }
}

} // namespace

std::vector<std::string> for_the_rider(const study::CurveResult& curve, const SupportResult* support) {
    const std::string_view unit = is_fork(*curve.reading.unit) ? "fork" : "shock";
    Sentences said;
    add_refill(said, curve, unit);
    add_compression(said, curve, unit);
    if (support != nullptr) add_support(said, *support, unit);
    return said;
}

std::vector<std::string> for_the_rider(const Variant& variant, double top_speed) {
    Sentences said;
    std::set<std::string> told;
    for (const Change& change : variant.changes) {
        if (change.noticed < 1.0) continue;
        std::string sentence = words_of(change, top_speed);
        if (!sentence.empty() && told.insert(subject(change.to)).second) said.push_back(std::move(sentence));
    }
    if (said.empty()) said.emplace_back("Nothing that a rider would notice is computed to have changed.");
    return said;
}

std::string_view rules_for_the_rider() {
    return "Sentences for the rider come from the numbers by fixed rules, all common practice without a "
           "source: 2 m/s of rod speed is what rough ground brings, 1 m/s what a hanging wheel reaches; sag "
           "of 25 to 35 % of the travel is usual; friction of more than 5 % of the load is felt; below "
           "0.5 m/s a movement is slow, from 2 m/s on a hit is hard; the travel starts up to 30 % of it and "
           "ends from "
           "70 % on; a change is told if it is at least one noticeable step, as compare counts them.";
}

} // namespace valve::report
