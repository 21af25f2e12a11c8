#include <support/catch.hpp>
#include <valve/report/build_sheet.hpp>

using namespace valve;
using namespace valve::report;

namespace {

const std::string stacks = std::string(VALVE_SOURCE_DIR) + "/stacks/";

const Json& figure(const Json& list, const std::string& what) {
    for (const Json& one : list)
        if (one.at("what") == what) return one;
    FAIL("no figure " << what);
    return list;
}

} // namespace

TEST_CASE("a build sheet names what it tells in words of the bench", "[report][demo]") {
    const setup::Document found_file = setup::Document::load(stacks + "rally-fork.yaml");
    const setup::Document built_file = setup::Document::load(stacks + "rally-fork-softer-check.yaml");
    const setup::Reading found = setup::read(found_file);
    const setup::Reading built = setup::read(built_file);
    const Json sheet = json(study::build_sheet(built, &found, setup::differences(found_file, built_file)));

    const Json& stack = sheet.at("valves").at(0);
    CHECK(stack.at("valve") == "base.compression");
    CHECK(stack.at("words") == "base valve");
    CHECK(stack.at("shim_count") == 11);
    CHECK(stack.at("lines").at(0) == Json{{"first", 1},
                                          {"last", 6},
                                          {"count", 6},
                                          {"outer_diameter_m", 24e-3},
                                          {"thickness_m", 0.15e-3},
                                          {"part", "face shim"}});
    CHECK_THAT(stack.at("clamp_diameter_m").get<double>(), WithinRel(12e-3, 1e-12));
    CHECK(stack.at("stop_diameter_m").is_null());
    CHECK(stack.at("spring_diameter_m").is_null());
    CHECK(stack.at("changed") == false);
    CHECK(sheet.at("valves").at(1).at("changed") == true);
    CHECK(sheet.at("valves").at(1).at("as_found") == "2 * 26 x 0.35");
    const Json& float_travel = figure(sheet.at("figures"), "float to measure, check plate");
    CHECK(float_travel.at("note") ==
          "a sleeve of 1.40 mm under the stop gives it, with 0.20 mm of shims on it");
    CHECK(float_travel.at("as_found") == 0.8e-3);
    CHECK(float_travel.at("sleeve_m") == 1.4e-3);
    CHECK_THAT(float_travel.at("shims_on_sleeve_m").get<double>(), WithinRel(0.2e-3, 1e-12));
    CHECK(sheet.at("valves").at(1).at("as_found_lines").at(0).at("count") == 2);
    CHECK(stack.at("as_found_lines").empty());
    CHECK(figure(sheet.at("figures"), "clicks out, base valve").at("note") == "of 24");
    CHECK(figure(sheet.at("figures"), "spring rate, each leg").at("changed") == false);
    CHECK(sheet.at("changes").at(1).at("words") == "the check plate's coil");
    CHECK(sheet.at("changes").at(1).at("step") == "60 → 0.8 N/mm");
    CHECK(sheet.at("reservoir").at("comes_out").is_null());
}

TEST_CASE("a build sheet says at which diameters stop and coil of a floated stack bear", "[report][demo]") {
    const setup::Reading apart = setup::read(setup::Document::load(
        stacks + "rally-fork.yaml", {{"valves.piston.compression.float.stop_at", "10 mm"},
                                     {"valves.piston.compression.float.spring_at", "11 mm"}}));
    const Json sheet = json(study::build_sheet(apart, nullptr, {}));
    for (const Json& stack : sheet.at("valves"))
        if (stack.at("valve") == "piston.compression") {
            CHECK(stack.at("clamp_diameter_m").is_null());
            CHECK_THAT(stack.at("stop_diameter_m").get<double>(), WithinRel(10e-3, 1e-12));
            CHECK_THAT(stack.at("spring_diameter_m").get<double>(), WithinRel(11e-3, 1e-12));
            return;
        }
    FAIL("no floated stack");
}

TEST_CASE("a swapped reservoir says what comes out", "[report][demo]") {
    const setup::Document found_file = setup::Document::load(stacks + "rally-fork.yaml");
    const setup::Document built_file = setup::Document::load(stacks + "rally-fork-bladder.yaml");
    const setup::Reading found = setup::read(found_file);
    const setup::Reading built = setup::read(built_file);
    const Json sheet = json(study::build_sheet(built, &found, setup::differences(found_file, built_file)));
    CHECK(sheet.at("reservoir").at("words") == "bladder");
    CHECK(sheet.at("reservoir").at("comes_out") == "spring-backed piston");
    CHECK(figure(sheet.at("comes_out"), "spring of the reservoir").at("value") == 1800.0);
    CHECK(figure(sheet.at("figures"), "gas charge, fully extended").at("is_new") == true);
    CHECK_THAT(figure(sheet.at("figures"), "gas charge, fully extended").at("note").get<std::string>(),
               contains_text("licensed"));
}

TEST_CASE("a spacer is called one, and a gas charge is told over the atmosphere", "[report][demo]") {
    setup::Reading shock = setup::read(setup::Document::load(stacks + "rally-shock.yaml"));
    flow::Valve& valve = *shock.unit->valves[damper::Place::piston_rebound];
    valve.stack.shims.push_back({valve.stack.clamp_radius, 0.3e-3, {}});
    const Json sheet = json(study::build_sheet(shock, nullptr, {}));
    CHECK_THAT(figure(sheet.at("figures"), "gas charge, fully extended").at("value").get<double>(),
               WithinRel(10e5, 1e-9));
    CHECK(sheet.at("valves").back().at("lines").back().at("part") == "spacer");
}
