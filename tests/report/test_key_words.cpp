#include <support/catch.hpp>
#include <valve/report/key_words.hpp>

using namespace valve::report;

TEST_CASE("keys are told in words of the bench", "[report]") {
    CHECK(key_words("valves.base.refill.float.rate") == "the check plate's coil");
    CHECK(key_words("valves.piston.compression.float.travel") == "the mid-valve's float");
    CHECK(key_words("valves.base.compression.bleed.needle.clicks") == "the base valve's clicks");
    CHECK(key_words("valves.piston.rebound") == "the rebound stack");
    CHECK(key_words("valves.piston.rebound.discharge.port") == "the rebound stack's discharge port");
    CHECK(key_words("valve.shims") == "the valve's shims");
    CHECK(key_words("oil.viscosity.40 C") == "the oil's viscosity at 40 C");
    CHECK(key_words("vehicle.unsprung") == "the vehicle's unsprung mass");
    CHECK(key_words("vehicle.tyre.rate") == "the vehicle's tyre rate");
    CHECK(key_words("support.leg.oil") == "the oil in the leg");
    CHECK(key_words("support.spring.second.rate") == "the spring's second rate");
    CHECK(key_words("reservoir.back_pressure") == "the reservoir's back pressure");
    CHECK(short_key("valves.base.refill.shims") == "base.refill.shims");
    CHECK(short_key("oil.density") == "oil.density");
}

TEST_CASE("a change is told with one unit, and a list or a map by what it says", "[report]") {
    CHECK(step_words({"a", "60 N/mm", "0.8 N/mm"}) == "60 → 0.8 N/mm");
    CHECK(step_words({"a", "0.8 mm", "1 in"}) == "0.8 mm → 1 in");
    CHECK(step_words({"a", "8", "12"}) == "8 → 12");
    CHECK(step_words({"a", "[2 * 26 x 0.35]", "[26 x 0.20]"}) == "2 * 26 x 0.35 → 26 x 0.20");
    CHECK(step_words({"a", "[6 * 21 x 0.15, 19 x 0.15]", "[9 * 21 x 0.15, 19 x 0.15]"}) ==
          "6 * 21 x 0.15, 19 x 0.15 → 9 * 21 x 0.15, 19 x 0.15");
    CHECK(step_words({"a", "26 x 0.20", "24 x 0.20"}) == "26 x 0.20 → 24 x 0.20");
    CHECK(step_words({"a", std::nullopt, "3 bar"}) == "none → 3 bar");
    CHECK(step_words({"a", "46 mm", "34.925 mm (1.375 in)"}) == "46 → 34.925 mm (1.375 in)");
    CHECK(step_words({"a", "34.925 mm (1.375 in)", "46 mm"}) == "34.925 mm (1.375 in) → 46 mm");
    CHECK(step_words({"a", "0.5 % (default)", "3 %"}) == "0.5 % (default) → 3 %");
    CHECK(step_words({"reservoir", "{kind: spring_piston, diameter: 36 mm}",
                      "{kind: bladder, gas_volume: 120 ml}"}) == "spring-backed piston → bladder");
    CHECK(change_words({"valves.base.refill.float.rate", "60 N/mm", "0.8 N/mm"}) ==
          "the check plate's coil, 60 → 0.8 N/mm (base.refill.float.rate)");
}
