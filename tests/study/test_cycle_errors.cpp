#include <support/catch.hpp>
#include <valve/setup/document.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/cycle.hpp>

#include <cmath>
#include <string>

using namespace valve;

TEST_CASE("figures of a cycle hold as far as is told, beside a run with a tenth of the errors",
          "[study][cycle][long]") {
    if (VALVE_SANITIZED) return; // some ten times as long, and no other code
    constexpr study::CycleErrors told;
    for (const std::string name : {"rally-fork", "rally-shock", "road-shock", "forest-fork"}) {
        const auto document = setup::Document::load(VALVE_SOURCE_DIR "/stacks/" + name + ".yaml");
        const damper::SetUp setup = setup::read(document).unit.value();
        damper::LiftCache cache;
        study::CycleQuestion question = study::usual_cycles(setup, damper::RodInto::atmosphere);
        const study::CycleStudy usual = study::cycle_study(setup, cache, question);
        question.errors_allowed = 0.1;
        const study::CycleStudy close = study::cycle_study(setup, cache, question);
        for (std::size_t i = 0; i < usual.cycles.size(); ++i) {
            const study::CycleFigures& one = usual.cycles[i];
            const study::CycleFigures& other = close.cycles[i];
            CAPTURE(name, i);
            REQUIRE_FALSE(one.error);
            REQUIRE_FALSE(other.error);
            CHECK_THAT(one.peak_force_compression, WithinRel(other.peak_force_compression, told.force));
            CHECK_THAT(one.peak_force_rebound, WithinRel(other.peak_force_rebound, told.force));
            const auto check = [&](const std::optional<double>& a, const std::optional<double>& b,
                                   double error) {
                REQUIRE(a.has_value() == b.has_value());
                if (a) CHECK_THAT(*a, WithinAbs(*b, error));
            };
            check(one.dead_travel_compression, other.dead_travel_compression, told.dead_travel);
            check(one.dead_travel_rebound, other.dead_travel_rebound, told.dead_travel);
            for (std::size_t k = 0; k < one.valves.size(); ++k)
                check(one.valves[k].shut_after, other.valves[k].shut_after, told.time);
            CHECK_THAT(one.largest_void_C, WithinAbs(other.largest_void_C, told.void_volume));
            CHECK_THAT(one.largest_void_R, WithinAbs(other.largest_void_R, told.void_volume));
        }
    }
}
