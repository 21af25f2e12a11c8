#include <support/catch.hpp>
#include <valve/motion/stability.hpp>
#include <valve/setup/document.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/cycle.hpp>
#include <valve/study/swinging.hpp>

#include <cstddef>
#include <optional>
#include <vector>

using namespace valve;

TEST_CASE("a peak is far above the steady force from a tenth more on", "[study][cycle]") {
    for (const double steady : {200.0, -200.0}) {
        CHECK_FALSE(study::is_far_above_steady(219.9, steady));
        CHECK(study::is_far_above_steady(220.1, steady));
    }
    CHECK_FALSE(study::is_far_above_steady(500.0, std::nullopt)); // beside nothing
}

TEST_CASE("the speed from which a valve swings parts what dies away from what grows, whatever was asked",
          "[study][stability]") {
    const auto document = setup::Document::load(VALVE_SOURCE_DIR "/stacks/rally-shock.yaml");
    const damper::SetUp setup = setup::read(document).unit.value();
    damper::LiftCache cache;
    const damper::Model model = cache.model(setup);
    const motion::MovingValves valves = motion::moving_valves(model, cache);
    const double middle = 0.5 * setup.cartridge.travel;

    const std::vector<study::SwingOnset> onsets = study::swing_onsets(model, valves, middle, 2.0);
    REQUIRE(onsets.size() == 2);                                     // one a stroke
    const motion::MovingValves slippery = valves.without_friction(); // as the onset is told for
    for (const study::SwingOnset& onset : onsets) {
        CAPTURE(onset.speed, onset.frequency);
        const double sign = onset.stroke == damper::Stroke::compression ? 1.0 : -1.0;
        const auto growth = [&](double speed) {
            return motion::least_damped(model, slippery, sign * speed, middle).value().growth;
        };
        CHECK(growth(onset.speed) > 0.0);
        CHECK(growth(0.999 * onset.speed) < 0.0);

        for (const double fastest : {onset.speed, 1.0001 * onset.speed, 1.07 * onset.speed, 4.0}) {
            CAPTURE(fastest);
            bool is_found = false;
            for (const study::SwingOnset& again : study::swing_onsets(model, valves, middle, fastest))
                if (again.stroke == onset.stroke) {
                    is_found = true;
                    CHECK(again.speed == onset.speed);
                }
            CHECK(is_found);
        }
        for (const study::SwingOnset& again :
             study::swing_onsets(model, valves, middle, 0.9999 * onset.speed))
            CHECK(again.stroke != onset.stroke);
    }
}
