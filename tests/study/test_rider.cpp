#include <report/samples.hpp>
#include <study/headlines.hpp>
#include <support/catch.hpp>
#include <valve/report/rider_rides.hpp>
#include <valve/study/rider.hpp>

#include <algorithm>

using namespace valve;
using namespace valve::study;

namespace {

CurveResult fork(damper::VoidOnset middle, damper::VoidOnset near_extension) {
    CurveResult result;
    result.reading.unit.emplace();
    result.reading.unit->valves[damper::Place::base_compression].emplace();
    result.curve = samples::steady_curve();
    result.margin_below_zero = {damper::Onset::Kind::from_speed, 2.45};
    result.curve.void_onset = middle;
    result.curve.void_onset_near_extension = near_extension;
    return result;
}

const RiderRemark* said(const std::vector<RiderRemark>& remarks, RiderRule rule) {
    const auto found = std::find_if(remarks.begin(), remarks.end(),
                                    [&](const RiderRemark& remark) { return remark.rule == rule; });
    return found == remarks.end() ? nullptr : &*found;
}

Change change(Figure from, Figure to) {
    const double step = std::abs(to.value.value_or(4.0) - from.value.value_or(4.0));
    return {from,  to, Cause::one_key,
            {"a"}, {}, step / noticeable_step(from.quantity, from.value.value_or(4.0))};
}

Change support(double share, double from, double to) {
    return change({Quantity::support_force, {}, from, "", share},
                  {Quantity::support_force, {}, to, "", share});
}

} // namespace

TEST_CASE("the rider hears of voids by the speeds that ground brings", "[study][rider]") {
    const auto of = [](std::optional<double> middle, std::optional<double> hanging) {
        return for_the_rider(fork({{}, middle, {}}, {{}, hanging, {}}), nullptr);
    };
    const std::vector<RiderRemark> soon = of(1.9, 0.9);
    REQUIRE(said(soon, RiderRule::hollow_return));
    CHECK(said(soon, RiderRule::hollow_return)->value == 1.9);
    CHECK(said(soon, RiderRule::hollow_return)->limit == stony_speed);
    REQUIRE(said(soon, RiderRule::hollow_hanging));
    CHECK(said(soon, RiderRule::hollow_hanging)->value == 0.9);
    const std::vector<RiderRemark> late = of(2.1, 1.1);
    CHECK(said(late, RiderRule::hollow_when_fast)->value == 2.1);
    CHECK_FALSE(said(late, RiderRule::hollow_hanging));
    CHECK(said(of({}, {}), RiderRule::follows)->limit == 4.0);
    CHECK_FALSE(said(for_the_rider(fork({{}, {}, {}, damper::VoidOnset::End{2.9, "broke off"}}, {}), nullptr),
                     RiderRule::follows));
    // A search that broke off on compression says nothing of rebound.
    CHECK(said(for_the_rider(fork({{}, {}, damper::VoidOnset::End{2.9, "broke off"}}, {}), nullptr),
               RiderRule::follows));
}

TEST_CASE("a negative balance margin is told where it decides, not of a unit with gas behind C",
          "[study][rider]") {
    CurveResult result = fork({}, {});
    const std::vector<RiderRemark> led = for_the_rider(result, nullptr);
    REQUIRE(said(led, RiderRule::rod_valve_leads));
    CHECK(said(led, RiderRule::rod_valve_leads)->value == 2.45);
    result.reading.unit->cartridge.layout = damper::Layout::monotube;
    result.reading.unit->reservoir.kind = damper::ReservoirKind::gas_piston;
    CHECK_FALSE(said(for_the_rider(result, nullptr), RiderRule::rod_valve_leads));
}

TEST_CASE("the rider hears of changes that can be noticed, each feeling once", "[study][rider]") {
    Variant variant;
    variant.changes = {
        change({Quantity::void_onset_rebound, {}, 1.3, ""}, {Quantity::void_onset_rebound, {}, {}, ""}),
        change({Quantity::damping_force, -1.0, -300.0, ""}, {Quantity::damping_force, -1.0, -360.0, ""}),
        change({Quantity::damping_force, 3.0, 500.0, ""}, {Quantity::damping_force, 3.0, 400.0, ""}),
        change({Quantity::damping_force, 2.5, 500.0, ""}, {Quantity::damping_force, 2.5, 410.0, ""}),
        support(0.9, 4000.0, 4400.0),
        support(1.0, 8000.0, 8900.0),
        change({Quantity::damping_force, 0.1, 20.0, ""}, {Quantity::damping_force, 0.1, 22.0, ""})};
    const std::vector<RiderRemark> remarks = for_the_rider(variant);
    std::vector<RiderRule> rules;
    for (const RiderRemark& remark : remarks)
        rules.push_back(remark.rule);
    CHECK(rules == std::vector<RiderRule>{RiderRule::return_changed, RiderRule::damping_changed,
                                          RiderRule::damping_changed, RiderRule::support_changed});
    CHECK(remarks[2].change->to.speed == 3.0);
}

TEST_CASE("more oil is a firmer last part, the first as before, however small the step", "[study][rider]") {
    Variant variant;
    variant.changes = {support(1.0, 8242.0, 8500.0), support(0.9, 4346.0, 4400.0)};
    CHECK(variant.changes[0].noticed < 1.0);
    variant.unchanged = {{Quantity::support_force, {}, 399.0, "", 0.1}};
    const std::vector<RiderRemark> remarks = for_the_rider(variant);
    REQUIRE(remarks.size() == 1);
    CHECK(remarks[0].rule == RiderRule::last_part_changed);
    CHECK(remarks[0].change->to.travel_share == 1.0);
    // Where the first part moved as well, it is the whole that is told.
    variant.unchanged.clear();
    CHECK(for_the_rider(variant).front().rule == RiderRule::small_change);
}

TEST_CASE("friction and the travel of a hit are felt", "[study][rider]") {
    Variant variant;
    variant.changes = {change({Quantity::breakaway, {}, 68.0, ""}, {Quantity::breakaway, {}, 34.0, ""}),
                       change({Quantity::friction, {}, 54.0, ""}, {Quantity::friction, {}, 27.0, ""}),
                       change({Quantity::hit_travel, {}, 0.250, ""}, {Quantity::hit_travel, {}, 0.256, ""})};
    const std::vector<RiderRemark> remarks = for_the_rider(variant);
    REQUIRE(remarks.size() == 2);
    CHECK(remarks[0].rule == RiderRule::friction_changed);
    CHECK(remarks[0].change->to.quantity == Quantity::breakaway);
    CHECK(remarks[1].rule == RiderRule::hit_changed);
}

TEST_CASE("a small step is told with its number, and only what stays to the digit is nothing",
          "[study][rider]") {
    Variant variant;
    variant.largest_unchanged =
        change({Quantity::damping_force, 1.0, 226.0, ""}, {Quantity::damping_force, 1.0, 227.0, ""});
    REQUIRE(for_the_rider(variant).size() == 1);
    CHECK(for_the_rider(variant).front().rule == RiderRule::small_change);
    CHECK_THAT(*for_the_rider(variant).front().value, WithinRel(1.0 / 11.3, 1e-12));
    variant.largest_unchanged.reset();
    CHECK(for_the_rider(variant).front().rule == RiderRule::nothing_changed);
}

TEST_CASE("a large change is never called little", "[study][rider]") {
    const auto dead = [](Quantity quantity, double frequency, double from, double to) {
        const auto at = [&](double value) { return Figure{quantity, {}, value, "", {}, frequency}; };
        return change(at(from), at(to));
    };
    Variant variant;
    variant.changes = {dead(Quantity::dead_travel_rebound, 12.0, 0.89e-3, 25.7e-3),
                       dead(Quantity::dead_travel_rebound, 4.0, 0.9e-3, 6e-3),
                       dead(Quantity::dead_travel_compression, 12.0, 1.2e-3, 2.3e-3)};
    const std::vector<RiderRemark> remarks = for_the_rider(variant);
    REQUIRE(remarks.size() == 2); // of one way the largest alone
    CHECK(remarks[0].rule == RiderRule::dead_travel_changed);
    CHECK(remarks[0].change->to.frequency == 12.0);
    CHECK(remarks[1].change->to.quantity == Quantity::dead_travel_compression);

    variant.changes = {change({Quantity::peak_force_rebound, {}, -600.0, "", {}, 12.0},
                              {Quantity::peak_force_rebound, {}, -900.0, "", {}, 12.0})};
    REQUIRE(for_the_rider(variant).size() == 1); // no feeling of its own
    CHECK(for_the_rider(variant).front().rule == RiderRule::figure_changed);
    variant.changes = {dead(Quantity::dead_travel_rebound, 12.0, 1.0e-3, 1.2e-3)};
    CHECK(for_the_rider(variant).front().rule == RiderRule::small_change);
}

TEST_CASE("what a ride tells is held to rules on both sides of each", "[study][rider][ride]") {
    RideFigures ride;
    ride.ride.begin = 0.1;
    motion::RideMetrics& metrics = ride.ride.metrics;
    metrics.full_travel = 0.3;
    metrics.start_travel = 0.08;
    metrics.mean_travel = 0.1;
    metrics.peak_travel = 0.15;
    metrics.small_bumps = 1.3;
    metrics.wheel_load_variation = 0.26;
    metrics.start_travels = {0.08, 0.085, 0.082};
    motion::Event bump;
    bump.kind = motion::EventKind::bump;
    bump.height = 0.015;
    const auto rules = [&](const motion::Event& event) {
        std::vector<RideRule> list;
        for (const RideRemark& remark : for_the_rider(ride, event))
            list.push_back(remark.rule);
        return list;
    };
    using Rules = std::vector<RideRule>;
    CHECK(rules(bump) == Rules{RideRule::swallows, RideRule::grips, RideRule::holds_up});
    metrics.small_bumps = 2.5;
    metrics.wheel_load_variation = 0.9;
    metrics.start_travels = {0.08, 0.085, 0.095};
    metrics.peak_travel = 0.29;
    CHECK(rules(bump) ==
          Rules{RideRule::passes_on, RideRule::skips, RideRule::packs_down, RideRule::uses_nearly_all});
    bump.height = 0.06; // no small one
    CHECK(rules(bump).front() == RideRule::skips);

    motion::Event braking;
    braking.kind = motion::EventKind::braking;
    metrics.start_travels.clear();
    metrics.closing_speed = 0.3;
    CHECK(rules(braking) == Rules{RideRule::skips, RideRule::stays_up, RideRule::meets_stop});
    metrics.mean_travel = 0.12;
    metrics.closing_speed = 1.2;
    CHECK(rules(braking) == Rules{RideRule::skips, RideRule::dives, RideRule::bottoms_out});
    motion::Event landing;
    landing.kind = motion::EventKind::landing;
    CHECK(rules(landing) == Rules{RideRule::bottoms_out}); // of a landing the load says nothing of grip
    metrics.closing_speed.reset();
    metrics.peak_travel = 0.28;
    CHECK(rules(landing) == Rules{RideRule::has_reserve});
    metrics.closing_speed = 1.2; // a long stop, and travel left
    CHECK(rules(landing) == Rules{RideRule::has_reserve});
    CHECK(rules(braking) == Rules{RideRule::skips, RideRule::dives});
    metrics.peak_travel = 0.29;

    const std::vector<std::string> said = report::rider_sentences({ride}, {braking});
    REQUIRE(said.size() == 3);
    CHECK_THAT(said[0], contains_text("bottoms out: the stop is met at 1.20 m/s")); // it hurts most
    CHECK_THAT(said[2], contains_text("dives") && contains_text("40 mm"));
    metrics.metal_speed = 0.4;
    CHECK_THAT(report::rider_sentences({ride}, {braking})[0],
               contains_text("bottoms out: metal is met at 0.40 m/s"));
    // Of two events the one that bottoms comes first, of each its worst alone.
    braking.title = "Ruts";
    landing.title = "Drop";
    RideFigures dive = ride;
    dive.ride.metrics.metal_speed.reset();
    dive.ride.metrics.closing_speed = 0.3;
    ride.event = 1;
    const std::vector<motion::Event> events{braking, landing};
    CHECK(
        report::worst_sentences({dive, ride}, events) ==
        std::vector<std::string>{"Over Drop: it bottoms out: metal is met at 0.40 m/s.",
                                 "Over Ruts: it dives on the brake: 40 mm lower than at rest, on average."});
    CHECK(report::hard_end_sentences({dive, ride}, events) ==
          std::vector<std::string>{"Over Drop: it bottoms out: metal is met at 0.40 m/s."});
    CHECK(report::rider_sentences({dive, ride}, events).front() ==
          "Drop: it bottoms out: metal is met at 0.40 m/s.");
    ride.ride.metrics.metal_speed.reset();
    ride.ride.metrics.closing_speed.reset();
    ride.ride.metrics.peak_travel = 0.2;
    CHECK(report::worst_sentences({ride}, events).empty()); // ridden well
    ride.event = 0;
    ride.ride.metrics.extension_speed = 2.69; // comes before all but bottoming
    ride.ride.metrics.mean_travel = 0.12;
    const std::string knock = "it comes out to its end with a knock: full extension is met at 2.69 m/s.";
    CHECK(report::worst_sentences({ride}, events) == std::vector<std::string>{"Over Ruts: " + knock});
    CHECK(report::hard_end_sentences({ride}, events) == std::vector<std::string>{"Over Ruts: " + knock});
    CHECK(report::rider_sentences({ride}, events).front() == "Ruts: " + knock);
    ride.ride.metrics.metal_speed = 0.4;
    CHECK(report::worst_sentences({ride}, events) ==
          std::vector<std::string>{"Over Ruts: it bottoms out: metal is met at 0.40 m/s."});
    CHECK(report::hard_end_sentences({ride}, events).size() == 2);
    ride.error = "it does not stand";
    CHECK(for_the_rider(ride, braking).empty());
}
