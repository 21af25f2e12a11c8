#include <support/catch.hpp>
#include <valve/damper/sag.hpp>
#include <valve/damper/support.hpp>
#include <valve/report/diagnosis.hpp>
#include <valve/study/diagnosis.hpp>

#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <string>
#include <vector>

// The numbers that rules of diagnosis are held to, each just within and just beyond: common practice, no
// source. They are written out here, so that nobody moves one unseen.

using namespace valve;
using namespace valve::study;

namespace {

constexpr double endless = std::numeric_limits<double>::infinity();

// Linear plates, which are the quicker ones; the same stacks serve all tests.
Diagnosis diagnosis_of(const std::string& name, const std::vector<setup::Override>& overrides = {},
                       const std::vector<RideEvent>& events = {}) {
    static damper::LiftCache cache({.theory = stack::Theory::linear});
    return diagnose(
        setup::Document::load(std::string(VALVE_SOURCE_DIR) + "/stacks/" + name + ".yaml", overrides),
        {.ride_valves = motion::Valves::quasi_static}, cache, events);
}

/// Judgements by a rule, sound and broken.
std::vector<Judgement> judged(const Diagnosis& diagnosis, Rule rule) {
    std::vector<Judgement> found;
    for (const std::vector<Judgement>* list : {&diagnosis.sound, &diagnosis.faults})
        std::copy_if(list->begin(), list->end(), std::back_inserter(found),
                     [&](const Judgement& one) { return one.rule == rule; });
    return found;
}

/// What is asked of a figure: between `low` and `high`, in the figure's unit.
struct Held {
    Rule rule;
    Quantity quantity;
    double low;
    double high;
    const char* words; ///< by which a user is told
};

void check_held(const Judgement& judgement, const Held& asked, double top_speed) {
    CAPTURE(asked.words);
    CHECK(judgement.figure.quantity == asked.quantity);
    CHECK_THAT(report::rule_words(judgement), contains_text(asked.words));
    const auto holds = [&](double value) {
        Figure figure = judgement.figure;
        figure.value = value;
        return error_of(judgement.target, figure, top_speed).value().met();
    };
    for (const auto& [limit, within] : {std::pair{asked.low, 1.001}, std::pair{asked.high, 0.999}}) {
        if (std::isinf(limit)) continue;
        CHECK(holds(limit * within));
        CHECK_FALSE(holds(limit * (2.0 - within)));
    }
}

/// Of a leg of the demo fork with as much oil as leaves air that full travel presses to `ratio`: by hand, the
/// rod's part of what it sweeps apart.
double support_at_ratio(const damper::SetUp& unit, double ratio) {
    damper::SetUp filled = unit;
    const double swept = 0.25 * std::numbers::pi * (0.050 * 0.050 - 0.012 * 0.012) * 0.300;
    const double shrinks = std::pow(ratio, 1.0 / 1.3);
    filled.support->leg->oil_volume = 1050e-6 - swept * shrinks / (shrinks - 1.0);
    return damper::SupportLaw(filled).at(0.300).force;
}

} // namespace

TEST_CASE("each rule of diagnosis is held to its number", "[study][diagnosis]") {
    const Diagnosis found = diagnosis_of("rally-fork-both");
    const damper::SetUp& unit = *found.reading.unit;
    const double carried = damper::sag(damper::SupportLaw(unit), *unit.support->load, true).force;
    const double travel = 0.300; // along the leg, as the wheel's
    for (const Held& asked :
         {Held{Rule::refills_on_rebound, Quantity::void_onset_rebound, 2.0, endless, "below 2 m/s"},
          Held{Rule::refills_hanging, Quantity::void_onset_near_extension_rebound, 1.0, endless,
               "below 1 m/s"},
          Held{Rule::check_opens, Quantity::refill_deficit, -endless, 0.3e5, "0.30 bar at 1 m/s"},
          Held{Rule::fills_inwards, Quantity::void_onset_compression, 3.0, endless, "below 3 m/s"},
          Held{Rule::base_leads, Quantity::balance_negative_from, 3.0, endless, "3 m/s"},
          Held{Rule::moves_freely, Quantity::breakaway, -endless, 0.05 * carried, "5 %"},
          Held{Rule::ports_are_wide, Quantity::ports_lead_base_compression, 2.0, endless, "2 m/s"},
          Held{Rule::shims_keep_shape, Quantity::shims_set_from, 4.0, endless, "4 m/s"},
          Held{Rule::shims_last, Quantity::shims_life_from, 2.0, endless, "2 m/s"},
          Held{Rule::spring_fits, Quantity::rider_sag, 0.25 * travel, 0.35 * travel, "25 to 35 %"},
          Held{Rule::rate_fits, Quantity::free_sag, 0.05 * travel, 0.20 * travel, "5 to 20 %"},
          Held{Rule::oil_fits, Quantity::support_force, support_at_ratio(unit, 4.0),
               support_at_ratio(unit, 14.0), "4 to 14 times"}}) {
        const std::vector<Judgement> judgements = judged(found, asked.rule);
        REQUIRE_FALSE(judgements.empty());
        check_held(judgements.front(), asked, found.at.top_speed);
    }
    REQUIRE(judged(found, Rule::check_opens).front().figure.speed == -1.0);
}

TEST_CASE("a reservoir's seal may rub by 3 N where a leg carries little", "[study][diagnosis]") {
    const Diagnosis light = diagnosis_of(
        "rally-fork-both", {{"support.load", "{sprung: 40, rider: 50, rider_share: 42, rake: 25}"},
                            {"support.spring.rate", "2.6 N/mm"}});
    const std::vector<Judgement> seal = judged(light, Rule::reservoir_is_free);
    REQUIRE(seal.size() == 1);
    check_held(seal.front(),
               {Rule::reservoir_is_free, Quantity::felt_reservoir_friction, -endless, 3.0, "3 N"},
               light.at.top_speed);
}

TEST_CASE("how the end of the travel is met is held to its numbers", "[study][diagnosis][ride]") {
    NamedEvent drop = *RideEvent::load(std::string(VALVE_SOURCE_DIR) + "/stacks/events/drop.yaml");
    drop.event.duration = 0.7; // until it is caught
    const auto end = [&](double height) {
        drop.event.height = height;
        const std::vector<Judgement> judgements =
            judged(diagnosis_of("rally-shock", {}, {RideEvent(drop)}), Rule::ends_softly);
        REQUIRE(judgements.size() == 1);
        return judgements.front();
    };
    check_held(end(0.1),
               {Rule::ends_softly, Quantity::peak_travel, -endless, 0.95 * 0.130, "5 % of the travel"}, 4.0);
    check_held(end(0.3), {Rule::ends_softly, Quantity::closing_speed, -endless, 0.5, "0.5 m/s"}, 4.0);
}

TEST_CASE("how full extension is met is held to its number", "[study][diagnosis][ride]") {
    NamedEvent drop = *RideEvent::load(std::string(VALVE_SOURCE_DIR) + "/stacks/events/drop.yaml");
    drop.event.height = 0.1;
    drop.event.duration = 0.5;
    const std::vector<Judgement> judgements =
        judged(diagnosis_of("rally-shock", {}, {RideEvent(drop)}), Rule::extends_softly);
    REQUIRE(judgements.size() == 1);
    CHECK(judgements.front().error.met());
    check_held(judgements.front(),
               {Rule::extends_softly, Quantity::extension_speed, -endless, 1.5, "no more than 1.5 m/s (Drop"},
               4.0);
}

TEST_CASE("a damper is held to the rules that are about what it has", "[study][diagnosis]") {
    const Diagnosis shock = diagnosis_of("rally-shock");
    CHECK(judged(shock, Rule::check_opens).size() == 1);
    CHECK(judged(shock, Rule::base_leads).empty());       // gas behind C
    CHECK(judged(shock, Rule::shims_keep_shape).empty()); // its strip states no limit
    CHECK(judged(shock, Rule::shims_last).empty());
    CHECK(judged(shock, Rule::oil_fits).empty()); // no leg
    CHECK(judged(shock, Rule::ports_are_wide).size() == 3);

    // A check lets oil pass and has no ports to rule it: one shim, on a float.
    const std::string mid = "valves.piston.compression.";
    const Diagnosis checked =
        diagnosis_of("rally-shock", {{mid + "shims", "[42 x 0.30]"},
                                     {mid + "float", "{travel: 1 mm, rate: 0.8 N/mm, preload: 1 N}"}});
    CHECK(judged(checked, Rule::ports_are_wide).size() == 2);

    // Without a base there is no check to open too late.
    const Diagnosis bare =
        diagnosis_of("rally-shock", {{"valves.base.refill", "null"}, {"valves.base.compression", "null"}});
    CHECK(judged(bare, Rule::refills_on_rebound).size() == 1);
    CHECK(judged(bare, Rule::check_opens).empty());
}
