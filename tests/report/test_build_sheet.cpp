#include <support/catch.hpp>
#include <valve/damper/leg_air.hpp>
#include <valve/report/build_sheet.hpp>

#include <algorithm>

using namespace valve;
using namespace valve::report;

namespace {

const std::string stacks = std::string(VALVE_SOURCE_DIR) + "/stacks/";

const BenchFigure& figure(const BuildSheet& sheet, const std::string& what) {
    const auto found = std::find_if(sheet.figures.begin(), sheet.figures.end(),
                                    [&](const BenchFigure& one) { return one.what == what; });
    REQUIRE(found != sheet.figures.end());
    return *found;
}

} // namespace

TEST_CASE("the build sheet tells what a mechanic sets and measures", "[report][demo]") {
    const setup::Reading fork = setup::read(setup::Document::load(stacks + "rally-fork.yaml"));
    const BuildSheet sheet = build_sheet(fork, nullptr, {});
    // 2 shims of 0.35 mm on a sleeve leave 0.8 mm.
    CHECK(figure(sheet, "float to measure, base.refill").value == 0.8e-3);
    CHECK_THAT(figure(sheet, "float to measure, base.refill").note, contains_text("a sleeve of 1.50 mm"));
    CHECK(figure(sheet, "clicks out, base.compression").value == 10.0);
    CHECK(figure(sheet, "oil volume, each leg").value == 365e-6);
    const damper::SetUp& unit = *fork.unit;
    CHECK(figure(sheet, "oil level from the top, each leg").value ==
          damper::oil_depth(*unit.support->leg, unit.cartridge, {}));
    CHECK_THAT(figure(sheet, "oil, kinematic viscosity at 40 °C").value, WithinRel(16e-6, 1e-12));
    for (const BenchFigure& one : sheet.figures)
        CHECK_FALSE(one.changed());

    const Json stack = json(sheet).at("valves").at(0);
    CHECK(stack.at("valve") == "base.compression");
    CHECK(stack.at("shim_count") == 11);
    CHECK(stack.at("lines").at(0) == Json{{"first", 1},
                                          {"last", 6},
                                          {"count", 6},
                                          {"outer_diameter_m", 24e-3},
                                          {"thickness_m", 0.15e-3},
                                          {"part", "face shim"}});
    CHECK(stack.at("lines").at(1).at("first") == 7);
    CHECK(stack.at("changed") == false);
}

TEST_CASE("the build sheet marks what differs from the unit as found", "[report][demo]") {
    const setup::Document found_file = setup::Document::load(stacks + "rally-fork.yaml");
    const setup::Document built_file = setup::Document::load(stacks + "rally-fork-softer-check.yaml");
    const setup::Reading found = setup::read(found_file);
    const setup::Reading built = setup::read(built_file);
    const BuildSheet sheet = build_sheet(built, &found, setup::differences(found_file, built_file));
    CHECK(figure(sheet, "float to measure, base.refill").changed());
    CHECK(figure(sheet, "float to measure, base.refill").as_found == 0.8e-3);
    CHECK_FALSE(figure(sheet, "float to measure, piston.compression").changed());
    CHECK_FALSE(figure(sheet, "oil volume, each leg").changed());
    for (const BenchStack& stack : sheet.stacks)
        CHECK(stack.as_found == (stack.valve == "base.refill" ? "2 * 26 x 0.35" : ""));
    const Json object = json(sheet);
    CHECK(object.at("changes").size() == 4);
    CHECK(object.at("valves").at(1).at("changed") == true);
}

TEST_CASE("a shock's build sheet tells its gas charge over the atmosphere, and a spacer is called one",
          "[report][demo]") {
    setup::Reading shock = setup::read(setup::Document::load(stacks + "rally-shock.yaml"));
    flow::Valve& valve = *shock.unit->valves[damper::Place::piston_rebound];
    valve.stack.shims.push_back({valve.stack.clamp_radius, 0.3e-3, {}});
    const BuildSheet sheet = build_sheet(shock, nullptr, {});
    CHECK_THAT(figure(sheet, "gas charge, fully extended").value, WithinRel(10e5, 1e-9));
    CHECK_THAT(figure(sheet, "gas charge, fully extended").note, contains_text("licensed"));
    CHECK(json(sheet).at("valves").back().at("lines").back().at("part") == "spacer");
}
