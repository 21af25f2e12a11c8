#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/report/adjusters.hpp>

using valve::damper::Place;
using valve::report::settings;
using valve::study::Adjuster;
using valve::study::adjusters;

TEST_CASE("a valve's needle has the valve's name, and so has a spring where there is no needle", "[study]") {
    valve::setup::Reading reading;
    reading.unit = valve::samples::fork();
    const auto add_spring = [&](Place place) {
        valve::stack::Float coil;
        coil.adjuster = {.turns = 1.5, .per_turn = 1e-3, .range = 4.0};
        reading.unit->valves[place]->stack.floating = coil;
    };
    add_spring(Place::base_compression);
    add_spring(Place::base_refill);
    const std::vector<Adjuster> found = adjusters(reading);
    REQUIRE(found.size() == 4);
    CHECK(found[0].key == "valves.base.compression.bleed.needle.clicks");
    CHECK(found[1].key == "valves.base.compression.float.adjuster.turns");
    CHECK(
        settings(found) ==
        "base.compression 10 of 24 clicks, base.compression.float 1.5 of 4 turns, base.refill 1.5 of 4 turns "
        "and piston.rebound 10 of 24 clicks");
}

TEST_CASE("a hole is no adjuster, and a valve alone has none of a unit's path", "[study]") {
    valve::setup::Reading reading;
    reading.valve = valve::samples::valve_of(4, 13e-6, 22e-3, 24e-3);
    reading.valve->bleed = valve::flow::Hole{.diameter = 1e-3, .count = 1};
    CHECK(settings(adjusters(reading)).empty());
    reading.valve->bleed = valve::samples::needle(3);
    CHECK(adjusters(reading).at(0).key == "valve.bleed.needle.clicks");
}
