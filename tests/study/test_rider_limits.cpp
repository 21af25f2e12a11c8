#include <report/samples.hpp>
#include <support/catch.hpp>
#include <valve/report/rider.hpp>
#include <valve/report/rider_rides.hpp>
#include <valve/study/rider.hpp>

#include <algorithm>
#include <cmath>
#include <vector>

// The numbers that sentences for a rider hang on, each just within and just beyond: common practice, no
// source. They are written out here, so that nobody moves one unseen.

using namespace valve;
using namespace valve::study;

namespace {

const RiderRemark* said(const std::vector<RiderRemark>& remarks, RiderRule rule) {
    const auto found = std::find_if(remarks.begin(), remarks.end(),
                                    [&](const RiderRemark& remark) { return remark.rule == rule; });
    return found == remarks.end() ? nullptr : &*found;
}

/// A curve of which nothing is told but what its onsets say.
CurveResult curve(std::optional<double> onset = std::nullopt, std::optional<double> hanging = std::nullopt) {
    CurveResult result;
    result.reading.unit.emplace();
    result.reading.unit->valves[damper::Place::base_compression].emplace();
    result.curve = samples::steady_curve();
    result.curve.void_onset = {{}, onset, {}};
    result.curve.void_onset_near_extension = {{}, hanging, {}};
    return result;
}

/// The demo shock, as it stands under its rider.
SupportResult shock() {
    const std::string file = std::string(VALVE_SOURCE_DIR) + "/stacks/rally-shock.yaml";
    return support_result(file, setup::read(setup::Document::load(file)), {});
}

Change change(const Figure& from, const Figure& to, double noticed = 2.0) {
    return {from, to, Cause::one_key, {"a"}, {}, noticed};
}

Change damping(double speed, double noticed = 2.0) {
    return change({Quantity::damping_force, speed, 100.0, ""}, {Quantity::damping_force, speed, 120.0, ""},
                  noticed);
}

Change support(double share, double noticed = 2.0) {
    return change({Quantity::support_force, {}, 1000.0, "", share},
                  {Quantity::support_force, {}, 1200.0, "", share}, noticed);
}

/// How many feelings are told of two changes.
std::size_t feelings(const Change& first, const Change& second) {
    Variant variant;
    variant.changes = {first, second};
    return for_the_rider(variant).size();
}

std::string sentence_of(RiderRule rule, const Change& change) {
    return report::sentence({rule, change.noticed, 1.0, std::nullopt, change}, "fork", 4.0);
}

} // namespace

TEST_CASE("voids are told by the speeds that ground and a hanging wheel bring", "[study][rider]") {
    CHECK(said(for_the_rider(curve(2.0), nullptr), RiderRule::hollow_return));
    CHECK(said(for_the_rider(curve(2.001), nullptr), RiderRule::hollow_when_fast));
    CHECK(said(for_the_rider(curve({}, 1.0), nullptr), RiderRule::hollow_hanging));
    CHECK_FALSE(said(for_the_rider(curve({}, 1.001), nullptr), RiderRule::hollow_hanging));
    // Hanging is worth a word of its own only where it is hollow sooner.
    CHECK(said(for_the_rider(curve(0.8, 0.799), nullptr), RiderRule::hollow_hanging));
    CHECK_FALSE(said(for_the_rider(curve(0.8, 0.8), nullptr), RiderRule::hollow_hanging));
    CHECK_FALSE(said(for_the_rider(curve(), nullptr), RiderRule::rod_valve_leads));
}

TEST_CASE("sag, friction and a hit are told by the shares that are usual", "[study][rider]") {
    SupportResult result = shock();
    const auto remark = [&](RiderRule rule) -> std::optional<RiderRemark> {
        const std::vector<RiderRemark> remarks = for_the_rider(curve(), &result);
        if (const RiderRemark* one = said(remarks, rule)) return *one;
        return std::nullopt;
    };
    const auto passed = [&](double share) {
        // Its linkage is one ratio, so that shares of the wheel's travel are those of the shock's.
        result.sag->wheel_travel = share * result.law.travel() / *result.support().load->motion_ratio;
        return remark(RiderRule::settles).value().limit;
    };
    CHECK(passed(0.249) == 0.25);
    CHECK(remark(RiderRule::settles).value().at_wheel == result.sag->wheel_travel);
    CHECK_FALSE(passed(0.251));
    CHECK_FALSE(passed(0.349));
    CHECK(passed(0.351) == 0.35);

    result.sag->force = 1.001 * result.law.breakaway() / 0.05;
    CHECK_FALSE(remark(RiderRule::sticks));
    result.sag->force = 0.999 * result.law.breakaway() / 0.05;
    CHECK(remark(RiderRule::sticks).value().limit == 0.05);
    result.sag->force = 0.0; // a share of nothing is none
    CHECK_FALSE(remark(RiderRule::sticks));

    for (const bool is_stated : {false, true})
        for (const damper::AtEnd end : {damper::AtEnd::no, damper::AtEnd::compressed}) {
            result.hit_is_stated = is_stated;
            result.hit_used.at_end = end;
            CHECK(remark(RiderRule::bottoms).has_value() == (is_stated && end == damper::AtEnd::compressed));
        }
    result.sag.reset(); // a hit alone says nothing of who sits on it
    CHECK(said(for_the_rider(curve(), &result), RiderRule::bottoms) == nullptr);
}

TEST_CASE("movements are slow, ordinary or hard, and travel has three parts", "[study][rider]") {
    // One feeling within a range, two across its end.
    CHECK(feelings(damping(0.1), damping(0.499)) == 1);
    CHECK(feelings(damping(0.499), damping(0.5)) == 2);
    CHECK(feelings(damping(0.5), damping(1.999)) == 1);
    CHECK(feelings(damping(1.999), damping(2.0)) == 2);
    CHECK(feelings(support(0.1), support(0.299)) == 1);
    CHECK(feelings(support(0.299), support(0.3)) == 2);
    CHECK(feelings(support(0.3), support(0.699)) == 1);
    CHECK(feelings(support(0.699), support(0.7)) == 2);

    const auto at = [](double speed) { return sentence_of(RiderRule::damping_changed, damping(speed)); };
    CHECK_THAT(at(0.499), contains_text("slow movements"));
    CHECK_THAT(at(0.5), contains_text("ordinary bumps"));
    CHECK_THAT(at(1.999), contains_text("ordinary bumps"));
    CHECK_THAT(at(2.0), contains_text("hard hits"));
    const auto where = [](double share) { return sentence_of(RiderRule::support_changed, support(share)); };
    CHECK_THAT(where(0.299), contains_text("at the start"));
    CHECK_THAT(where(0.3), contains_text("in the middle"));
    CHECK_THAT(where(0.699), contains_text("in the middle"));
    CHECK_THAT(where(0.7), contains_text("in the last part"));
}

TEST_CASE("the last part is told alone where the first part stayed", "[study][rider]") {
    const auto told = [](double changed_at, double unchanged_at) {
        Variant variant;
        variant.changes = {support(changed_at, 0.4)};
        variant.unchanged = {{Quantity::support_force, {}, 400.0, "", unchanged_at}};
        return for_the_rider(variant).front().rule;
    };
    CHECK(told(0.7, 0.299) == RiderRule::last_part_changed);
    CHECK(told(0.699, 0.299) == RiderRule::small_change);
    CHECK(told(0.7, 0.3) == RiderRule::small_change);
}

TEST_CASE("a rider notices a step, and no less", "[study][rider]") {
    const auto rule = [](const Change& one) {
        Variant variant;
        variant.changes = {one};
        const std::vector<RiderRemark> remarks = for_the_rider(variant);
        REQUIRE(remarks.size() == 1);
        return remarks.front().rule;
    };
    CHECK(rule(damping(1.0, 1.0)) == RiderRule::damping_changed);
    CHECK(rule(damping(1.0, 0.999)) == RiderRule::small_change);
    // What no feeling belongs to.
    const auto peak = [](double noticed) {
        return change({Quantity::peak_force_rebound, {}, -600.0, "", {}, 12.0},
                      {Quantity::peak_force_rebound, {}, -900.0, "", {}, 12.0}, noticed);
    };
    CHECK(rule(peak(1.0)) == RiderRule::figure_changed);
    CHECK(rule(peak(0.999)) == RiderRule::small_change);
    // A last part that is told by its own rule takes no feeling from what is noticed beside it.
    Variant variant;
    variant.changes = {peak(1.0), support(1.0, 0.999)};
    variant.unchanged = {{Quantity::support_force, {}, 400.0, "", 0.1}};
    CHECK(for_the_rider(variant).back().rule == RiderRule::figure_changed);
    variant.changes.back().noticed = 1.0;
    CHECK(for_the_rider(variant).back().rule == RiderRule::last_part_changed);
    // More or less than nothing known is no feeling; an onset that goes is one.
    CHECK(rule(change({Quantity::hit_travel, {}, 0.25, ""}, {Quantity::hit_travel, {}, {}, ""})) ==
          RiderRule::figure_changed);
    CHECK(rule(change({Quantity::void_onset_rebound, {}, 1.3, ""},
                      {Quantity::void_onset_rebound, {}, {}, ""})) == RiderRule::return_changed);
}

TEST_CASE("each rule on a ride is held to its number", "[study][rider][ride]") {
    using motion::EventKind;
    using motion::RideMetrics;
    struct Limit {
        EventKind kind;
        RideRule kept, broken;
        double number;
        void (*set)(RideMetrics&, double);
    };
    for (const Limit& limit :
         {Limit{EventKind::bump, RideRule::swallows, RideRule::passes_on, 2.0, // [m/s²]
                [](RideMetrics&ride, double value) { ride.small_bumps = value; }},
          Limit{EventKind::bump, RideRule::grips, RideRule::skips, 1.0 / 3.0, // of the load at rest
                [](RideMetrics&ride, double value) { ride.wheel_load_variation = value; }},
          Limit{EventKind::bumps, RideRule::holds_up, RideRule::packs_down, 0.010, // [m]
                [](RideMetrics&ride, double value) {
                    ride.start_travels = {0.08, 0.07, 0.08 + value};
                }},
          Limit{EventKind::braking, RideRule::stays_up, RideRule::dives, 0.1, // of the travel
                [](RideMetrics&ride, double value) { ride.mean_travel = ride.start_travel + 0.3 * value; }},
          Limit{EventKind::landing, RideRule::has_reserve, RideRule::uses_nearly_all, 0.95, // of it used
                [](RideMetrics&ride, double value) { ride.peak_travel = 0.3 * value; }},
          Limit{EventKind::landing, RideRule::meets_stop, RideRule::bottoms_out, 0.5, // [m/s]
                [](RideMetrics&ride, double value) {
                    ride.peak_travel = 0.29;
                    ride.closing_speed = value;
                }}}) {
        RideFigures ride;
        ride.ride.begin = 0.1;
        ride.ride.metrics.full_travel = 0.3;
        ride.ride.metrics.start_travel = ride.ride.metrics.mean_travel = 0.08;
        ride.ride.metrics.peak_travel = 0.15;
        motion::Event event;
        event.kind = limit.kind;
        event.height = 0.015;
        for (const double part : {0.999, 1.001}) {
            CAPTURE(limit.number, part);
            limit.set(ride.ride.metrics, part * limit.number);
            const std::vector<RideRemark> remarks = for_the_rider(ride, event);
            const auto tells = [&](RideRule rule) {
                return std::any_of(remarks.begin(), remarks.end(),
                                   [&](const RideRemark& one) { return one.rule == rule; });
            };
            CHECK(tells(limit.kept) == (part < 1.0));
            CHECK(tells(limit.broken) == (part > 1.0));
        }
    }
}

// 1.5 m/s: common practice, no source. In flight every wheel comes out to its end.
TEST_CASE("a fork tops out beyond 1.5 m/s and not before", "[study][rider][ride]") {
    RideFigures ride;
    ride.ride.begin = 0.1;
    ride.ride.metrics.full_travel = 0.3;
    ride.ride.metrics.peak_travel = 0.15;
    for (const motion::EventKind kind :
         {motion::EventKind::landing, motion::EventKind::bumps, motion::EventKind::rough}) {
        motion::Event event;
        event.kind = kind;
        event.height = 0.06;
        const auto knocks = [&](std::optional<double> speed) {
            ride.ride.metrics.extension_speed = speed;
            const RideRemark last = for_the_rider(ride, event).back();
            if (last.rule != RideRule::tops_out) return false;
            CHECK(last.value == speed);
            CHECK(last.limit == 1.5);
            return true;
        };
        ride.ride.metrics.peak_travel = kind == motion::EventKind::landing ? 0.15 : 0.29;
        CHECK_FALSE(knocks(std::nullopt));
        CHECK_FALSE(knocks(0.999 * 1.5));
        CHECK_FALSE(knocks(1.5));
        CHECK(knocks(1.001 * 1.5));
    }
}

TEST_CASE("a bump is small up to 20 mm", "[study][rider][ride]") {
    RideFigures ride;
    ride.ride.begin = 0.1;
    ride.ride.metrics.full_travel = 0.3;
    ride.ride.metrics.small_bumps = 1.0;
    motion::Event bump;
    bump.kind = motion::EventKind::bump;
    bump.height = 0.020;
    CHECK(for_the_rider(ride, bump).front().rule == RideRule::swallows);
    bump.height = 0.0201;
    CHECK(for_the_rider(ride, bump).front().rule == RideRule::grips);
}

TEST_CASE("the rules that a page prints are those that are held to", "[report][rider]") {
    for (const char* number :
         {"2 m/s of rod speed is what rough ground brings", "1 m/s what a hanging wheel reaches",
          "sag of 25 to 35 %", "more than 5 % of the load", "below 0.5 m/s a movement is slow",
          "from 2 m/s on a hit is hard", "starts up to 30 %", "ends from 70 % on"})
        CHECK_THAT(report::rules_for_the_rider(), contains_text(number));
    for (const char* number :
         {"up to 20 mm are small", "up to 2 m/s²", "no more than 33 %", "more than 10 mm",
          "more than 10 % of the travel", "less than 5 % of the travel", "up to 0.5 m/s",
          "full extension without a knock up to 1.5 m/s"})
        CHECK_THAT(report::ride_rules_for_the_rider(), contains_text(number));
}
