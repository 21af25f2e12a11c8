#include <valve/damper/linkage.hpp>
#include <valve/study/lead.hpp>
#include <valve/study/rider.hpp>

#include <algorithm>
#include <cmath>
#include <tuple>
#include <utility>

namespace valve::study {

namespace {

using Remarks = std::vector<RiderRemark>;

void add_refill(Remarks& said, const CurveResult& result) {
    const std::optional<double>& onset = result.curve.void_onset.rebound;
    const std::optional<double>& hanging = result.curve.void_onset_near_extension.rebound;
    if (onset)
        said.push_back({*onset <= stony_speed ? RiderRule::hollow_return : RiderRule::hollow_when_fast, onset,
                        stony_speed});
    else if (!result.curve.void_onset.rebound_end)
        said.push_back({RiderRule::follows, std::nullopt, result.options.top_speed});
    if (hanging && *hanging <= hanging_speed && (!onset || *hanging < *onset))
        said.push_back({RiderRule::hollow_hanging, hanging, hanging_speed});
}

void add_compression(Remarks& said, const CurveResult& result) {
    if (const std::optional<double>& onset = result.curve.void_onset.compression)
        said.push_back({RiderRule::empties_inwards, onset});
    if (!margin_decides(*result.reading.unit)) return;
    if (const std::optional<double> led = result.margin_below_zero.from())
        said.push_back({RiderRule::rod_valve_leads, led, 0.0});
}

void add_support(Remarks& said, const SupportResult& support) {
    if (!support.sag) return;
    const double travel = support.sag->rest.travel;
    const damper::Linkage linkage(*support.support().load);
    const double share = support.sag->wheel_travel / linkage.wheel_travel(support.law.travel());
    const std::optional<double> passed = share < usual_sag_least  ? std::optional(usual_sag_least)
                                         : share > usual_sag_most ? std::optional(usual_sag_most)
                                                                  : std::nullopt;
    const bool along_legs = support.support().load->rake.has_value(); // as forks are measured
    said.push_back({RiderRule::settles, share, passed, travel, std::nullopt,
                    along_legs ? std::nullopt : std::optional(support.sag->wheel_travel)});
    const double breakaway = support.law.breakaway();
    if (support.sag->force > 0.0 && breakaway > sticky_share * support.sag->force)
        said.push_back({RiderRule::sticks, breakaway / support.sag->force, sticky_share, breakaway});
    if (support.hit_is_stated && support.hit_used.at_end == damper::AtEnd::compressed)
        said.push_back({RiderRule::bottoms, support.hit});
}

/// The feeling that a figure belongs to; none where it is told by the others, or felt by nobody.
std::optional<RiderRule> feeling(Quantity quantity) {
    switch (quantity) {
    case Quantity::void_onset_rebound:
        return RiderRule::return_changed;
    case Quantity::void_onset_near_extension_rebound:
        return RiderRule::hanging_changed;
    case Quantity::void_onset_compression:
        return RiderRule::turn_changed;
    case Quantity::balance_negative_from:
        return RiderRule::lead_changed;
    case Quantity::damping_force:
        return RiderRule::damping_changed;
    case Quantity::support_force:
        return RiderRule::support_changed;
    case Quantity::rider_sag:
        return RiderRule::sag_changed;
    case Quantity::friction:
    case Quantity::breakaway:
    case Quantity::felt_reservoir_friction:
        return RiderRule::friction_changed;
    case Quantity::hit_travel:
        return RiderRule::hit_changed;
    case Quantity::dead_travel_compression:
    case Quantity::dead_travel_rebound:
        return RiderRule::dead_travel_changed;
    default:
        return std::nullopt;
    }
}

/// 0, 1 or 2: which of three ranges `value` falls into.
int range(double value, double first, double last) {
    return value < first ? 0 : value < last ? 1 : 2;
}

/// What a remark is about, so that nothing is told twice.
using Subject = std::tuple<RiderRule, bool, int, int>;

Subject subject(RiderRule rule, const Figure& figure) {
    const double speed = figure.speed.value_or(0.0);
    const bool on_rebound = speed < 0.0 || figure.quantity == Quantity::dead_travel_rebound;
    return {rule, on_rebound, range(std::abs(speed), slow_speed, hard_speed),
            range(figure.travel_share.value_or(0.0), first_part, last_part)};
}

bool is_support(const Figure& figure, double least, double most) {
    return figure.quantity == Quantity::support_force && *figure.travel_share >= least &&
           *figure.travel_share < most;
}

/// The support that changed most near the end of the travel, if it stayed in the first part.
const Change* last_part_alone(const Variant& variant) {
    const auto in_first = [](const Figure& figure) { return is_support(figure, 0.0, first_part); };
    if (std::none_of(variant.unchanged.begin(), variant.unchanged.end(), in_first)) return nullptr;
    const Change* largest = nullptr;
    for (const Change& change : variant.changes)
        if (is_support(change.to, last_part, 2.0) &&
            (largest == nullptr || change.noticed > largest->noticed))
            largest = &change;
    return largest;
}

} // namespace

std::vector<RiderRemark> for_the_rider(const CurveResult& curve, const SupportResult* support) {
    Remarks said;
    add_refill(said, curve);
    add_compression(said, curve);
    if (support != nullptr) add_support(said, *support);
    return said;
}

std::vector<RiderRemark> for_the_rider(const Variant& variant) {
    Remarks said;
    std::vector<Subject> told;
    const auto tell = [&](RiderRule rule, const Change& change) {
        said.push_back({rule, change.noticed, 1.0, std::nullopt, change});
    };
    const Change* last = last_part_alone(variant);
    if (last != nullptr) told.push_back(subject(RiderRule::support_changed, last->to));
    for (const Change& change : variant.changes) {
        if (&change == last) tell(RiderRule::last_part_changed, change);
        const std::optional<RiderRule> rule = feeling(change.to.quantity);
        const bool needs_both = !kind_of(change.to.quantity).is_onset;
        if (change.noticed < 1.0 || !rule || (needs_both && !(change.from.value && change.to.value)))
            continue;
        const Subject about = subject(*rule, change.to);
        if (std::find(told.begin(), told.end(), about) != told.end()) continue;
        told.push_back(about);
        tell(*rule, change);
    }
    // What no feeling belongs to is told by itself where it is all that can be noticed.
    const auto is_noticed = [](const RiderRemark& one) { return one.value >= 1.0; };
    if (!variant.changes.empty() && variant.changes.front().noticed >= 1.0 &&
        std::none_of(said.begin(), said.end(), is_noticed))
        tell(RiderRule::figure_changed, variant.changes.front());
    if (!said.empty()) return said;
    if (!variant.changes.empty())
        tell(RiderRule::small_change, variant.changes.front());
    else if (variant.largest_unchanged)
        tell(RiderRule::small_change, *variant.largest_unchanged);
    else if (variant.not_asked.empty()) // else nobody looked
        said.push_back({RiderRule::nothing_changed});
    return said;
}

} // namespace valve::study
