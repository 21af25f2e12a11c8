#include <support/catch.hpp>
#include <valve/report/support_comparison.hpp>
#include <valve/setup/read.hpp>

#include <cmath>
#include <numeric>

// The set-ups in stacks/ and what their support says. The numbers in the checks are of the story, not of a
// real fork.

using namespace valve::report;
using valve::setup::Document;
using valve::setup::Override;
using valve::study::align;
using valve::study::are_two_ends;
using valve::study::SupportOptions;
using valve::study::SupportResult;

namespace {

SupportResult of(const std::string& name, const std::vector<Override>& overrides = {},
                 const SupportOptions& options = {}) {
    const std::string path = std::string(VALVE_SOURCE_DIR) + "/stacks/" + name + ".yaml";
    return valve::study::support_result(name + ".yaml", valve::setup::read(Document::load(path, overrides)),
                                        options);
}

/// Force going in, with sliding friction [N].
double going_in(const SupportResult& result, double travel) {
    return result.law.at(travel).force + result.law.friction();
}

} // namespace

TEST_CASE("a table over the travel has no more than twenty round steps", "[report][support]") {
    const auto rows = [](const std::string& travel) {
        return of("rally-fork", // without springs at its ends, which have rows of their own
                  {{"damper.travel", travel}, {"support.top_out", "null"}, {"support.stop", "null"}})
            .points.size();
    };
    CHECK(rows("200 mm") == 21); // by 10 mm, both ends
    CHECK(rows("201 mm") == 12); // by 20 mm
}

TEST_CASE("a point of the support carries every key of the contract, and its parts add up",
          "[report][support]") {
    const Json object = json(of("rally-fork"));
    CHECK(object.at("legs") == 2);
    REQUIRE(object.at("points").size() == 20); // every 20 mm of 300, and where top-out ends and stop begins
    for (const Json& point : object.at("points")) {
        for (const char* key : {"travel_m", "force_N", "slope_N_m", "spring_N", "gas_N", "reservoir_N",
                                "top_out_N", "stop_N", "energy_J"})
            CHECK(point.at(key).is_number());
        double sum = 0.0;
        for (const char* key : {"spring_N", "gas_N", "reservoir_N", "top_out_N", "stop_N"})
            sum += point.at(key).get<double>();
        CHECK_THAT(point.at("force_N").get<double>(), WithinAbs(sum, 1e-9));
        CHECK(point.at("p_S_in_Pa") > point.at("p_S_out_Pa"));
    }
    CHECK(object.at("points").at(19).at("travel_m") == 0.3);
    CHECK(object.at("hit_is_stated") == false);
    CHECK(csv(object.at("points")).rfind("travel_m,force_N,slope_N_m,spring_N,gas_N,reservoir_N,", 0) == 0);
}

TEST_CASE("rows stand where a spring begins or ends and just before", "[report][support]") {
    // stacks/rally-fork.yaml: a top-out spring of 10 mm, 3 N/mm, and a stop of 8 mm, 150 N/mm, in two legs of
    // 300 mm of travel; stacks/forest-fork.yaml: a second spring from 160 mm on, 1.2 N/mm stiffer.
    const auto near = [](const SupportResult& result, double travel) {
        for (const valve::damper::SupportPoint& point : result.points)
            if (std::abs(point.travel - travel) < 1e-9) return point;
        FAIL("no row at " << travel);
        return valve::damper::SupportPoint{};
    };
    const SupportResult fork = of("rally-fork");
    CHECK(near(fork, 0.292).stop == 0.0);
    CHECK_THAT(near(fork, 0.292).slope - near(fork, 0.2919).slope, WithinAbs(300e3, 1e3));
    CHECK(near(fork, 0.01).top_out == 0.0);
    CHECK_THAT(near(fork, 0.01).slope - near(fork, 0.0099).slope, WithinAbs(-6e3, 100.0));
    const SupportResult forest = of("forest-fork");
    CHECK_THAT(near(forest, 0.16).slope - near(forest, 0.1599).slope,
               WithinAbs(1.2e3 * forest.support().legs, 100.0));
    for (std::size_t i = 1; i < forest.points.size(); ++i)
        CHECK(forest.points[i].travel > forest.points[i - 1].travel + 0.9e-4);
}

TEST_CASE("travels are those asked for, else even steps to the end", "[report][support]") {
    const SupportResult asked = of("rally-fork", {}, {.travels = {0.27, 0.0}});
    REQUIRE(asked.points.size() == 2);
    CHECK(asked.points[0].travel == 0.27);
    CHECK_THROWS_WITH(of("rally-fork", {}, {.travels = {0.31}}), contains_text("310 mm"));
    const SupportResult odd = of("rally-shock", {{"damper.travel", "123 mm"}});
    CHECK(odd.points[odd.points.size() - 2].travel == 0.12);
    CHECK(odd.points.back().travel == 0.123);
}

TEST_CASE("the text says whose forces they are, and leads with what the support does", "[report][support]") {
    const std::string pair = text(of("rally-fork"));
    CHECK_THAT(pair,
               contains_text("Both legs together: 6 N at full extension, 8242 N at full travel (300 mm)"));
    CHECK_THAT(pair, contains_text("Forces of both legs together"));
    CHECK_THAT(pair, contains_text("  reservoir  ") && contains_text("  p air   p S\n"));
    CHECK(pair.find("Sag with the rider (108 kg on this wheel): 77 mm") < pair.find("Forces of both legs"));
    CHECK_THAT(pair, contains_text("70 % of the energy to full travel"));
    CHECK_THAT(text(of("rally-fork", {{"support.legs", "1"}})),
               contains_text("One leg: 3 N at full extension"));
    const std::string shock = text(of("rally-shock"));
    CHECK_THAT(shock, contains_text("The shock: 654 N at full extension"));
    CHECK(shock.find("leg air") == std::string::npos);
    CHECK_THAT(text(of("rally-shock", {{"support.load", "null"}})), contains_text("The shock: 654 N"));
    const std::string unloaded = text(of("rally-fork", {{"support.load", "null"}}));
    CHECK_THAT(unloaded, contains_text("No sag: the file names no masses"));
    CHECK_THAT(text(of("rally-fork", {{"support.top_out.rate", "9 N/mm"}})),
               contains_text("mm short of full extension"));
    CHECK_THAT(text(of("rally-fork", {{"support.load.rider", "500 kg"}, {"support.load.sprung", "2000 kg"}})),
               contains_text("all travel: the weight is more than it carries"));
}

TEST_CASE("the oil is told as volume and as the level of each way to measure", "[report][support]") {
    CHECK_THAT(headline(of("rally-fork")), contains_text("Oil: 365 ml in a leg"));
    CHECK_THAT(headline(of("rally-fork")), contains_text("compressed 121 mm (spring out)"));
    // What its file gives as a level comes back as that level.
    CHECK_THAT(headline(of("forest-fork")), contains_text("compressed 115 mm (spring out)"));
    const Json far = json(of("forest-fork")).at("oil").at("levels").at(2);
    CHECK(far.at("fork") == "extended");
    CHECK(far.at("depth_m").is_null()); // deeper than the column
}

TEST_CASE("a set-up without support is named", "[report][support]") {
    CHECK_THROWS_WITH(of("rally-fork", {{"support", "null"}}),
                      contains_text("rally-fork.yaml: support: missing"));
}

// Common practice, no source. First: to 100 mm of 300; last: from 270 mm.
TEST_CASE("a few ml more oil in the demo fork hold up the end and leave the beginning", "[report][support]") {
    const SupportResult a = of("rally-fork", {{"support.leg.oil", "380 ml"}});
    double before = 0.0;
    for (const auto& [oil, at_end] : {std::pair{"385 ml", 0.015}, {"390 ml", 0.03}}) {
        const SupportResult b = of("rally-fork", {{"support.leg.oil", oil}});
        for (const double first : {0.0, 0.03, 0.1})
            CHECK(std::abs(going_in(b, first) / going_in(a, first) - 1.0) < 0.004);
        CHECK(going_in(b, 0.3) / going_in(a, 0.3) - 1.0 > at_end);
        CHECK(going_in(b, 0.27) - going_in(a, 0.27) > 20.0 * (going_in(b, 0.1) - going_in(a, 0.1)));
        CHECK(going_in(b, 0.3) > before);
        before = going_in(b, 0.3);
        CHECK_THAT(b.sag->rest.travel, WithinAbs(a.sag->rest.travel, 0.5e-3));
    }
}

TEST_CASE("a bladder in the demo fork frees the first 30 mm, and the hit uses more travel",
          "[report][support]") {
    std::vector<SupportResult> both;
    both.push_back(of("rally-fork"));
    both.push_back(of("rally-fork-bladder"));
    align(both);
    const SupportResult& piston = both[0];
    const SupportResult& bladder = both[1];
    CHECK(bladder.law.breakaway() < piston.law.breakaway() - 3.9); // 2 N a leg
    for (const double travel : {0.0, 0.01, 0.02, 0.03})
        CHECK(going_in(bladder, travel) < going_in(piston, travel) - 3.5);
    CHECK(bladder.rod_start < piston.rod_start);
    CHECK(bladder.hit == piston.hit);
    CHECK(bladder.hit_used.travel > piston.hit_used.travel);
    CHECK_THAT(text(both), contains_text("B against A: to start it takes 4.1 N less"));
}

TEST_CASE("a fork and a shock are two ends, with the ratio of their frequencies", "[report][support]") {
    std::vector<SupportResult> ends;
    ends.push_back(of("rally-shock"));
    ends.push_back(of("rally-fork"));
    CHECK(are_two_ends(ends));
    const double own_hit = ends[1].hit;
    align(ends);
    CHECK(ends[1].hit == own_hit);
    const Json ride = json(ends).at("ride");
    CHECK(ride.at("front_Hz") == *ends[1].frequency);
    CHECK(ride.at("rear_Hz") == *ends[0].frequency);
    CHECK_THAT(ride.at("front_to_rear").get<double>(),
               WithinRel(*ends[1].frequency / *ends[0].frequency, 1e-14));
    CHECK_THAT(text(ends), contains_text("front 1.88 Hz, rear 1.39 Hz; front to rear 1.35"));
    const Json rows = points(ends);
    CHECK(rows.size() == ends[0].points.size() + ends[1].points.size());
    CHECK(rows.front().at("file") == "rally-shock.yaml");

    std::vector<SupportResult> too_heavy;
    too_heavy.push_back(of("rally-shock", {{"support.load.sprung", "2000 kg"}}));
    too_heavy.push_back(of("rally-fork"));
    CHECK(json(too_heavy).at("ride").at("rear_Hz").is_null());
    CHECK_THAT(text(too_heavy), contains_text("rear none; front to rear unknown"));

    ends.push_back(of("rally-fork"));
    CHECK_THROWS_WITH(align(ends), contains_text("a fork and a shock"));
    std::vector<SupportResult> legs;
    legs.push_back(of("rally-fork"));
    legs.push_back(of("rally-fork", {{"support.legs", "1"}}));
    CHECK_FALSE(are_two_ends(legs));
    CHECK_THROWS_WITH(align(legs), contains_text("support.legs"));
}

TEST_CASE("a choice stands beside what the file has, and says what stands in its way", "[report][support]") {
    SupportResult result = of("rally-fork");
    const auto choose = [&](const valve::damper::SupportGoal& goal) {
        const valve::damper::SetUp& unit = *result.reading.unit;
        const valve::damper::Buildable limits = valve::damper::buildable(unit);
        result.chosen = {goal, limits, valve::damper::choose(unit, goal, limits)};
        return text(result);
    };
    const std::string met = choose({.sag = 0.08, .end_force = 8000.0});
    CHECK_THAT(met, contains_text("It gives 80.0 mm of sag with the rider"));
    CHECK_THAT(met, contains_text("and 8000 N at full travel."));
    CHECK_THAT(met, contains_text("kept")); // the preload
    CHECK(met.find("cannot be built") == std::string::npos);
    const Json object = json(result).at("choice");
    CHECK(object.at("chosen") == Json::array({"rate", "oil"}));
    CHECK(object.at("at_limit").empty());
    CHECK_THAT(object.at("reached").at("sag_m").get<double>(), WithinRel(0.08, 1e-9));
    const std::string unmet = choose({.sag = 0.08, .free_sag = 0.02});
    CHECK_THAT(unmet, contains_text("at its limit") && contains_text("cannot be built"));
    CHECK(json(result).at("choice").at("at_limit").size() == 1);
}
