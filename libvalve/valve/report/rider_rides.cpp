#include <valve/report/rider_rides.hpp>
#include <valve/report/text.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

namespace valve::report {

namespace {

using study::RideRemark;
using study::RideRule;

std::string millimetres(double length) {
    return fixed(length * 1e3, 0) + " mm";
}

std::string grip(const RideRemark& remark) {
    const std::string off =
        remark.amount && *remark.amount > 0.0
            ? fmt::format(", and it is off the ground for {} % of the time", fixed(*remark.amount * 100.0, 1))
            : "";
    return fmt::format("the wheel {}: its load varies by {} % (r.m.s.){}.",
                       remark.rule == RideRule::grips ? "follows the ground" : "skips", percent(remark.value),
                       off);
}

/// What is wrong with a ride, the worst first.
constexpr std::array faults{RideRule::bottoms_out, RideRule::tops_out,        RideRule::packs_down,
                            RideRule::dives,       RideRule::uses_nearly_all, RideRule::skips,
                            RideRule::passes_on};

/// Whether an end of the travel is met hard.
bool is_hard_end(const RideRemark& remark) {
    return remark.rule == RideRule::bottoms_out || remark.rule == RideRule::tops_out;
}

/// The place of a rule among the faults; beyond them where it is none.
std::ptrdiff_t place(const RideRemark& remark) {
    return std::find(faults.begin(), faults.end(), remark.rule) - faults.begin();
}

std::string over(const motion::Event& event, const RideRemark& remark) {
    return fmt::format("Over {}: {}", event.title, sentence(remark));
}

} // namespace

std::string sentence(const RideRemark& remark) {
    switch (remark.rule) {
    case RideRule::swallows:
        return fmt::format("small bumps are swallowed ({} m/s², r.m.s., reach the rider).",
                           fixed(remark.value, 2));
    case RideRule::passes_on:
        return fmt::format("small bumps are passed on ({} m/s², r.m.s., reach the rider).",
                           fixed(remark.value, 2));
    case RideRule::grips:
    case RideRule::skips:
        return grip(remark);
    case RideRule::holds_up:
        return fmt::format("each bump finds it ready: later ones no more than {} deeper than the first.",
                           millimetres(remark.value < 0.0 ? 0.0 : remark.value));
    case RideRule::packs_down:
        return fmt::format("it packs down: later bumps find it {} deeper than the first.",
                           millimetres(remark.value));
    case RideRule::stays_up:
        return fmt::format("it stays up on the brake: {} lower than at rest, on average.",
                           millimetres(remark.value));
    case RideRule::dives:
        return fmt::format("it dives on the brake: {} lower than at rest, on average.",
                           millimetres(remark.value));
    case RideRule::has_reserve:
        return fmt::format("{} of travel are left.", millimetres(remark.value));
    case RideRule::uses_nearly_all:
        return fmt::format("nearly all travel is used: {} are left.", millimetres(remark.value));
    case RideRule::meets_stop:
        return fmt::format("nearly all travel is used; the stop is met softly, at {} m/s.",
                           fixed(remark.value, 2));
    case RideRule::bottoms_out:
        return fmt::format("it bottoms out: {} is met at {} m/s.", remark.amount ? "the stop" : "metal",
                           fixed(remark.value, 2));
    case RideRule::tops_out:
        return fmt::format("it comes out to its end with a knock: full extension is met at {} m/s.",
                           fixed(remark.value, 2));
    }
    return {};
}

std::vector<std::string> rider_sentences(const std::vector<study::RideFigures>& rides,
                                         const std::vector<motion::Event>& events) {
    std::vector<std::string> first;
    std::vector<std::string> rest;
    for (const study::RideFigures& ride : rides)
        for (const RideRemark& remark : study::for_the_rider(ride, events.at(ride.event)))
            (is_hard_end(remark) ? first : rest)
                .push_back(fmt::format("{}: {}", events.at(ride.event).title, sentence(remark)));
    first.insert(first.end(), rest.begin(), rest.end());
    return first;
}

std::vector<std::string> hard_end_sentences(const std::vector<study::RideFigures>& rides,
                                            const std::vector<motion::Event>& events) {
    std::vector<std::string> said;
    for (const study::RideFigures& ride : rides)
        for (const RideRemark& remark : study::for_the_rider(ride, events.at(ride.event)))
            if (is_hard_end(remark)) said.push_back(over(events.at(ride.event), remark));
    return said;
}

std::vector<std::string> worst_sentences(const std::vector<study::RideFigures>& rides,
                                         const std::vector<motion::Event>& events) {
    std::vector<std::pair<std::ptrdiff_t, std::string>> worst;
    for (const study::RideFigures& ride : rides) {
        const std::vector<RideRemark> felt = study::for_the_rider(ride, events.at(ride.event));
        const auto found =
            std::min_element(felt.begin(), felt.end(),
                             [](const RideRemark& a, const RideRemark& b) { return place(a) < place(b); });
        if (found != felt.end() && place(*found) < std::ssize(faults))
            worst.emplace_back(place(*found), over(events.at(ride.event), *found));
    }
    std::stable_sort(worst.begin(), worst.end(),
                     [](const auto& a, const auto& b) { return a.first < b.first; });
    std::vector<std::string> said;
    for (auto& [_, sentence] : worst)
        said.push_back(std::move(sentence));
    return said;
}

std::string ride_rules_for_the_rider() {
    return fmt::format("Sentences on rides come by fixed rules likewise (common practice, no source): bumps "
                       "of up to {:g} mm are "
                       "small, and swallowed up to {:g} m/s² (r.m.s. of the sprung mass while the ground is "
                       "within 10 mm of level); "
                       "a wheel holds while its load varies by no more than {} % of that at rest (r.m.s.); a "
                       "row packs down where "
                       "later bumps find it more than {:g} mm deeper than the first; more than {:g} % of the "
                       "travel lost to braking "
                       "on average is a dive; less than {:g} % of the travel left is nearly all of it; a "
                       "stop is met softly up to "
                       "{:g} m/s, and full extension without a knock up to {:g} m/s: in flight every "
                       "wheel comes out to its end, and what tops out there is made for that.",
                       study::small_height * 1e3, study::calm_acceleration, percent(study::even_load),
                       study::ready_travel * 1e3, study::dive_share * 100.0, study::reserve_share * 100.0,
                       study::soft_closing, study::soft_extension);
}

} // namespace valve::report
