#include <support/catch.hpp>
#include <valve/report/keys.hpp>
#include <valve/report/text.hpp>

#include <sstream>

using namespace valve::report;

TEST_CASE("the reference of keys is searched by name and by words", "[report][keys]") {
    CHECK(matching_keys("").size() == valve::setup::parameters().size());
    for (const valve::setup::Parameter& key : matching_keys("FLOAT")) {
        CAPTURE(key.key, key.doc);
        CHECK((key.key.find("float") != std::string::npos || key.doc.find("float") != std::string::npos));
    }
    CHECK(matching_keys("float").size() > 10);
    CHECK(matching_keys("no such words").empty());
    const auto both = matching_keys("bleed  Needle"); // each of them, in any place
    CHECK(both.size() > 3);
    CHECK(both.size() < matching_keys("bleed").size());
    CHECK(matching_keys("needle bleed").size() == both.size());
    CHECK(matching_keys("bleed nonsense").empty());
}

TEST_CASE("keys of further files are shown by name and by words", "[report][keys]") {
    CHECK(matching_keys("event").front().key == "event");
    CHECK(matching_keys("event.height").size() == 1);
    CHECK(matching_keys("event.height").front().kinds.size() == 5);
    CHECK(matching_keys("goal.at_least").size() == 1);
    CHECK(matching_keys("words.on_events").size() == 1);
    CHECK(matching_keys("drawer").size() == 6); // itself, shims, sleeves, springs, coils, height
    const auto slopes = matching_keys("landed on");
    REQUIRE(slopes.size() == 1);
    CHECK(slopes.front().key == "event.slope");
    CHECK(json(slopes).at(0).at("file") == "event");
    CHECK(json(matching_keys("damper.bore")).at(0).at("file") == "set-up");
    CHECK_THAT(text(slopes), contains_text("a file of their own"));
    CHECK_THAT(text(matching_keys("damper.bore")), contains_text("valve keys event, goal, drawer or words"));
}

TEST_CASE("a key of a valve is shown under the name that was asked for, with those below it",
          "[report][keys]") {
    const auto needle = matching_keys("piston.rebound.bleed.needle");
    REQUIRE(needle.size() == 6);
    CHECK(needle.front().key == "valves.piston.rebound.bleed.needle");
    CHECK(needle.back().key == "valves.piston.rebound.bleed.needle.of");
    REQUIRE(matching_keys("damper.bore").size() == 1);
    CHECK(matching_keys("valve.zone").back().key == "valve.zone.outer");
    CHECK(matching_keys("support.load").size() == 6);
}

TEST_CASE("a key says what it takes, and JSON has the numbers of its range", "[report][keys]") {
    const std::string bore = text(matching_keys("damper.bore"));
    CHECK_THAT(bore, contains_text("damper.bore\n    length [mm]; more than 0, at most 300 mm; required\n"
                                   "    inner diameter of the tube the piston runs in\n"));
    CHECK_THAT(text(matching_keys("reservoir.exponent")),
               contains_text("default: 1.4; of kind bladder, gas_piston"));
    const Json object = json(matching_keys("oil.temperature")).at(0);
    CHECK(object.at("unit") == "C");
    CHECK(object.at("low") == -60.0);
    CHECK(object.at("high") == 200.0);
    CHECK(object.at("default") == "40 C");
    CHECK(object.at("required") == false);
    CHECK(json(matching_keys("damper.layout")).at(0).at("low").is_null());
    std::istringstream lines(text(matching_keys("")));
    for (std::string line; std::getline(lines, line);)
        CHECK(width(line) <= page_columns);
}
