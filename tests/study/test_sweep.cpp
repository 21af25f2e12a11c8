#include <support/catch.hpp>
#include <valve/core/error.hpp>
#include <valve/setup/document.hpp>
#include <valve/study/sweep.hpp>

#include <string>
#include <vector>

using namespace valve;
using namespace valve::study;

namespace {

/// The demo fork with `key` at each setting of `sweep`.
DocumentAt demo_with(const Sweep& sweep) {
    return [&sweep](std::size_t i) {
        return setup::Document::load(std::string(VALVE_SOURCE_DIR) + "/stacks/rally-fork.yaml",
                                     {{sweep.key, sweep.settings.at(i)}});
    };
}

/// Three settings that lose 3, 1 and 2 mm into compression, each 0.5 mm into rebound, in so many cycles.
CycleFamily family_of(std::size_t cycles) {
    CycleFamily family;
    for (const double lost : {3e-3, 1e-3, 2e-3}) {
        CycleFigures cycle;
        cycle.dead_travel_compression = lost;
        cycle.dead_travel_rebound = 0.5e-3;
        CycleMember member;
        member.study.cycles.assign(cycles, cycle);
        family.members.push_back(member);
    }
    return family;
}

} // namespace

TEST_CASE("settings without a unit have that of their key", "[study]") {
    CHECK(unit_of_settings("damper.ring_leak.gap", {"0.02", "0.04"}) == "mm");
    CHECK(unit_of_settings("damper.ring_leak.gap", {"0.02", "0.04 mm"}).empty());
    CHECK(unit_of_settings("reservoir.friction", {"18"}) == "N");
    CHECK(unit_of_settings("valves.piston.rebound.ports.area", {"4"}) == "mm2");
    CHECK(unit_of_settings("valves.base.compression.bleed.needle.clicks", {"4"}).empty());
    CHECK(unit_of_settings("no.such.key", {"4"}).empty());
}

TEST_CASE("a setting that cannot stand is left out, the others are as if alone", "[study]") {
    const Sweep sweep{"reservoir.friction", "reservoir.friction", "", {"-5", "18", "40"}, "N"};
    damper::LiftCache lifts({.theory = stack::Theory::linear});
    const CurveFamily family = curve_family(sweep, demo_with(sweep), {.speeds = {-1.0, 1.0}}, lifts);
    CHECK(family.failed());
    REQUIRE(family.left_out.size() == 1);
    CHECK(family.left_out[0].setting == "-5");
    CHECK_THAT(family.left_out[0].why, contains_text("out of range"));
    CHECK(family.sweep.settings == std::vector<std::string>{"18", "40"});
    REQUIRE(family.members.size() == 2);
    damper::LiftCache fresh({.theory = stack::Theory::linear});
    const Sweep last{"reservoir.friction", "reservoir.friction", "", {"40"}, "N"};
    const CurveFamily alone = curve_family(last, demo_with(last), {.speeds = {-1.0, 1.0}}, fresh);
    for (std::size_t i = 0; i < 2; ++i)
        CHECK(alone.members[0].curve.points[i].force == family.members[1].curve.points[i].force);
}

TEST_CASE("a sweep of which nothing can stand throws what the first setting did", "[study]") {
    const Sweep sweep{"reservoir.friction", "reservoir.friction", "", {"-5", "-6"}, "N"};
    damper::LiftCache lifts;
    CHECK_THROWS_WITH(curve_family(sweep, demo_with(sweep), {}, lifts), contains_text("'-5'"));
    CHECK_THROWS_AS(curve_family(sweep, demo_with(sweep), {}, lifts), InputError);
}

TEST_CASE("the least dead travel counts both reversals of every cycle", "[study][cycle]") {
    CycleFamily family = family_of(2);
    CHECK_THAT(dead_travel_in_all(family.members[1].study).value(), WithinRel(3e-3, 1e-12));
    CHECK(least_dead_travel(family) == 1);
    using Members = std::vector<std::size_t>;
    CHECK(alike_in_dead_travel(family) == Members{1});
    family.members[1].study.cycles[1].dead_travel_rebound.reset();
    CHECK(least_dead_travel(family) == 2);

    // Four figures in a sum, each of which may err by CycleErrors::dead_travel, in either of two.
    const double apart = 8.0 * CycleErrors().dead_travel;
    family.members[0].study.cycles = family.members[2].study.cycles;
    double& other = *family.members[0].study.cycles[0].dead_travel_compression;
    other += 0.99 * apart;
    CHECK(least_dead_travel(family) == 2);
    CHECK(alike_in_dead_travel(family) == Members{0, 2});
    other += 0.02 * apart;
    CHECK(alike_in_dead_travel(family) == Members{2});
    for (CycleMember& member : family.members)
        member.study.cycles[0].error = "broke off";
    CHECK(alike_in_dead_travel(family).empty());
}

TEST_CASE("where the least hangs on a dip the one that is least but for dips is named", "[study][cycle]") {
    CycleFamily family = family_of(1);
    CHECK_FALSE(least_but_for_dips(family)); // nothing dips
    family.members[0].study.cycles[0].but_for_dips_compression = 0.4e-3;
    CHECK_THAT(but_for_dips_in_all(family.members[0].study).value(), WithinRel(0.9e-3, 1e-12));
    CHECK(least_dead_travel(family) == 1);
    CHECK(least_but_for_dips(family) == 0);
    // Dips of the best as well: it is the best either way.
    family.members[1].study.cycles[0].but_for_dips_compression = 0.3e-3;
    CHECK_FALSE(least_but_for_dips(family));
}
