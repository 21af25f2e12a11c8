#include <support/catch.hpp>
#include <valve/report/modes.hpp>

#include <algorithm>

using namespace valve::report;
using valve::stack::Mode;

namespace {

/// Invented frequencies of a floated plate in oil.
valve::study::ModesResult sample() {
    valve::study::ModesResult result;
    result.name = "base.refill";
    result.valve.stack.shims = {valve::stack::Shim{13e-3, 0.20e-3, {}}};
    result.valve.stack.clamp_radius = 9e-3;
    result.valve.stack.bore_radius = 9e-3;
    result.valve.stack.zone = {9e-3, 12e-3};
    result.valve.stack.seat = {12e-3, 12.5e-3, 0.0};
    result.temperature = 313.15;
    result.options.oil_density = 834.0;
    result.modes = valve::stack::Modes{};
    result.modes->modes = {Mode{0, 0, 90.0, 60.0}, Mode{0, 1, 3000.0, 2500.0}, Mode{1, 0, 40.0, 25.3},
                           Mode{2, 0, 2100.0, 1900.0}, Mode{2, 1, 30000.0, 27000.0}};
    return result;
}

std::string one_line(std::string text) {
    std::replace(text.begin(), text.end(), '\n', ' ');
    return text;
}

} // namespace

TEST_CASE("a mode is near what shakes up to a tenth beyond its range", "[report]") {
    using valve::study::Shaker;
    struct Limit {
        double frequency; // [Hz]
        std::optional<Shaker> near;
    };
    for (const Limit& limit :
         {Limit{0.449, std::nullopt}, Limit{0.451, Shaker::rod_and_wheel}, Limit{32.9, Shaker::rod_and_wheel},
          Limit{33.1, Shaker::engine_and_tyre}, Limit{659.0, Shaker::engine_and_tyre},
          Limit{661.0, std::nullopt}, Limit{899.0, std::nullopt}, Limit{901.0, Shaker::flow},
          Limit{10990.0, Shaker::flow}, Limit{11010.0, std::nullopt}}) {
        CAPTURE(limit.frequency);
        const valve::study::Excitation* found = valve::study::excitation_near(limit.frequency);
        CHECK((found == nullptr ? std::nullopt : std::optional(found->shaker)) == limit.near);
    }
}

TEST_CASE("a frequency is near an excitation within a tenth of its range's ends", "[report]") {
    CHECK(valve::study::excitation_near(12.0)->shaker == valve::study::Shaker::rod_and_wheel);
    CHECK(valve::study::excitation_near(650.0)->shaker == valve::study::Shaker::engine_and_tyre);
    CHECK(valve::study::excitation_near(670.0) == nullptr);
    CHECK(valve::study::excitation_near(890.0) == nullptr);
    CHECK(valve::study::excitation_near(950.0)->shaker == valve::study::Shaker::flow);
    CHECK(valve::study::excitation_near(11500.0) == nullptr);
    CHECK(valve::study::excitation_near(0.0) == nullptr);
}

TEST_CASE("the text of modes begins with the lowest and says what each would sound or feel like",
          "[report]") {
    const std::string all = one_line(text(sample()));
    CHECK_THAT(all, contains_text("Lowest in oil: 25.3 Hz (1 nodal diameter, family 0); in air 40.0 Hz."));
    CHECK_THAT(all, contains_text("Near rod and wheel (0.5 to 30 Hz) lies 25.3 Hz; felt:"));
    CHECK_THAT(all, contains_text("Near engine and tyre (30 to 600 Hz) lies 60.0 Hz; felt: a buzz"));
    CHECK_THAT(all, contains_text("Near flow (1000 to 10000 Hz) lie 1900 and 2500 Hz; heard,"));
    CHECK_THAT(all, contains_text("common practice, no source"));
    CHECK_THAT(all, contains_text("just lifted off its seat, unbent"));
    CHECK_THAT(all, contains_text("834 kg/m³ at 40 °C"));
    CHECK_THAT(all, !contains_text("buckles") && !contains_text("Nothing lies near"));
}

TEST_CASE("modes carry every key of the contract", "[report]") {
    const Json object = json(sample());
    CHECK(object.at("valve") == "base.refill");
    CHECK(object.at("pressure_Pa").is_null());
    CHECK(object.at("oil_density_kg_m3") == 834.0);
    CHECK(object.at("no_oil_because").is_null());
    REQUIRE(object.at("modes").size() == 5);
    CHECK(object.at("modes").at(3) == Json{{"nodal_diameters", 2},
                                           {"family", 0},
                                           {"frequency_air_Hz", 2100.0},
                                           {"frequency_oil_Hz", 1900.0},
                                           {"buckles", false},
                                           {"near", "flow"}});
    CHECK(object.at("modes").at(4).at("near").is_null());
    REQUIRE(object.at("excitations").size() == 3);
}

TEST_CASE("without oil the frequencies in oil are missing and the reason is said", "[report]") {
    valve::study::ModesResult result = sample();
    result.temperature.reset();
    for (Mode& mode : result.modes->modes)
        mode.frequency_oil.reset();
    CHECK_THAT(one_line(text(result)), contains_text("Lowest in air: 40.0 Hz") &&
                                           contains_text("The file gives no oil") && !contains_text("kg/m³"));
    const Json object = json(result);
    CHECK(object.at("no_oil_because") == "the file gives no oil");
    CHECK(object.at("oil_density_kg_m3").is_null());
    CHECK(object.at("modes").at(0).at("frequency_oil_Hz").is_null());
    CHECK(object.at("modes").at(0).at("near") == "engine and tyre"); // by its frequency in air
}

TEST_CASE("a shape that buckles, a disc that is held and a state that is not there are told", "[report]") {
    valve::study::ModesResult buckled = sample();
    buckled.options.pressure = 5e5;
    buckled.modes->on_stop = true;
    buckled.modes->modes[3] = Mode{2, 0, std::nullopt, std::nullopt};
    const std::string all = one_line(text(buckled));
    CHECK_THAT(all, contains_text("With 2 nodal diameters there is no lowest frequency"));
    CHECK_THAT(all, contains_text("at 5.00 bar, on its stop, large-deflection plates"));
    CHECK(json(buckled).at("modes").at(3).at("buckles") == true);

    valve::study::ModesResult held = sample();
    held.modes->modes.clear();
    CHECK_THAT(text(held), contains_text("Nothing vibrates"));
    CHECK(json(held).at("modes").empty());

    valve::study::ModesResult none = sample();
    none.modes.reset();
    none.error = "no equilibrium found";
    CHECK(none.failed());
    CHECK_THAT(text(none), contains_text("No natural frequencies: no equilibrium found"));
    CHECK(json(none).at("on_seat").is_null());
    CHECK(json(none).at("error") == "no equilibrium found");
}
