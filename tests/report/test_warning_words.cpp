#include <support/catch.hpp>
#include <valve/report/assumptions.hpp>
#include <valve/report/warning_words.hpp>

using namespace valve;
using study::WarningKind;

TEST_CASE("a balance is told to be open from its own number on", "[report]") {
    const auto told = [](double mass, double energy) {
        return valve::report::open_balances({mass, energy}, 1e-6).size();
    };
    CHECK(told(0.99e-10, 0.99e-6) == 0);
    CHECK(told(1.01e-10, 0.99e-6) == 1);
    CHECK(told(0.99e-10, 1.01e-6) == 1);
}

TEST_CASE("each warning has one sentence, whoever asks", "[report]") {
    const std::vector<study::Warning> warnings{
        {.kind = WarningKind::ports_choke, .place = "base.compression", .speed = 2.5},
        {.kind = WarningKind::shim_keeps_set,
         .place = "piston.rebound",
         .speed = 2.6,
         .pressure = 12.3e5,
         .radius = 6e-3,
         .shim = 3},
        {.kind = WarningKind::shim_keeps_set, .pressure = 12.3e5, .radius = 6e-3, .shim = 3},
        {.kind = WarningKind::shim_life_ends,
         .place = "piston.rebound",
         .speed = 1.95,
         .pressure = 9e5,
         .radius = 6e-3,
         .shim = 1},
        {.kind = WarningKind::waves_over_ports, .place = "piston.rebound", .speed = 1.0, .pressure = 2e5},
        {.kind = WarningKind::buckles, .place = "piston.rebound", .speed = 3.0, .pressure = 8e5, .count = 3},
        {.kind = WarningKind::cup_turbulent, .place = "damper.end_of_stroke", .speed = 3.0, .value = 2000.0},
        {.kind = WarningKind::cup_empty, .place = "damper.top_out", .speed = 0.5},
        {.kind = WarningKind::stress_unknown, .detail = "no curve"}};
    CHECK(
        report::sentences(warnings) ==
        std::vector<std::string>{
            "base.compression chokes in its ports from 2.50 m/s on",
            "At 2.60 m/s and faster, shim 3 of piston.rebound keeps a set (at Ø 12, from 12.30 bar on the "
            "face shim)",
            "Shim 3 keeps a set (at Ø 12, from 12.30 bar on the face shim)",
            "At 1.95 m/s and faster, shim 1 of piston.rebound is bent beyond endless life (at Ø 12, from "
            "9.00 bar on the face shim)",
            "At 1.00 m/s and faster, the waves of piston.rebound over its ports are too high to be followed "
            "(from 2.00 bar on the face shim): they are taken to grow as they did up to there, so that the "
            "force is less sure",
            "At 3.00 m/s and faster, piston.rebound buckles into 3 waves round the ring (from 8.00 bar on "
            "the face shim): it lifts more than computed, and the true force is lower",
            "At 3.00 m/s and faster, the gap round the plug of end_of_stroke is turbulent (Re above 2000): "
            "it "
            "will push harder than computed",
            "At 0.50 m/s and faster, the cup of top_out is empty as its plug leaves: a void, which pulls no "
            "harder and closes with a knock; a check (ways: one), a hole or a wider gap lets the oil back in",
            "stress is not known: no curve"});
    CHECK(report::sentences(warnings, study::WarningSubject::ports).size() == 1);
    CHECK(report::sentences(warnings, study::WarningSubject::ends).size() == 2);
    CHECK(report::sentences(warnings, study::WarningSubject::shims).size() == 6);
}
