#include <support/catch.hpp>
#include <valve/report/comparison.hpp>
#include <valve/report/curve.hpp>
#include <valve/report/end_cups.hpp>

using namespace valve;
using namespace valve::report;
using setup::Document;

namespace {

const std::string rally_fork = std::string(VALVE_SOURCE_DIR) + "/stacks/rally-fork";

damper::LiftCache& lifts() {
    static damper::LiftCache cache({.theory = stack::Theory::linear});
    return cache;
}

study::CurveResult curve_at(double travel, const std::vector<setup::Override>& overrides = {}) {
    const std::string path = rally_fork + "-cup.yaml";
    return study::curve_result(path, setup::read(Document::load(path, overrides)),
                               {.speeds = {-1.0, 1.0, 3.0}, .travel = travel}, lifts());
}

std::vector<study::Warning> of_kind(const study::CurveResult& result, study::WarningKind kind) {
    std::vector<study::Warning> found = result.warnings;
    std::erase_if(found, [kind](const study::Warning& warning) { return warning.kind != kind; });
    return found;
}

} // namespace

TEST_CASE("a cup is told in words", "[report][cup]") {
    const damper::Cartridge cartridge = setup::read(Document::load(rally_fork + "-cup.yaml")).unit->cartridge;
    CHECK(end_cup_lines(cartridge) ==
          std::vector<std::string>{
              "end of stroke: a plug of 20 mm enters its cup over the last 25 mm of travel, "
              "in C, gap 0.9 to 0.25 mm, hole Ø 1.5",
              "top out: a plug of 18 mm enters its cup over the first 12 mm of travel, in R "
              "round the rod, gap 0.5 to 0.2 mm; a check lets it leave freely"});
    CHECK(end_cup_lines(damper::Cartridge{}).empty());
}

TEST_CASE("a curve shows the force of a cup where there is one, and only then", "[report][cup]") {
    const study::CurveResult inside = curve_at(0.295);
    const Json points = json(inside).at("points");
    CHECK(points.at(1).at("end_force_N") > 10.0);
    CHECK(points.at(1).at("end_pressure_Pa") > 0.0);
    CHECK(points.at(0).at("end_force_N") < 0.0);
    CHECK_THAT(text(inside),
               contains_text("  speed  force  damping  cup ") && contains_text("end of stroke: a plug"));

    const study::CurveResult mid = curve_at(0.15);
    CHECK(json(mid).at("points").at(1).at("end_force_N") == 0.0);
    const study::CurveResult without = study::curve_result(
        rally_fork + ".yaml", setup::read(Document::load(rally_fork + ".yaml")), {.speeds = {1.0}}, lifts());
    CHECK(json(without).at("points").at(0).at("end_force_N").is_null());
    CHECK(text(without).find("cup") == std::string::npos);
}

TEST_CASE("a gap that turns turbulent is warned of", "[report][cup]") {
    const std::vector<study::Warning> warm = of_kind(curve_at(0.295), study::WarningKind::cup_turbulent);
    REQUIRE(warm.size() == 1);
    CHECK(of_kind(curve_at(0.15), study::WarningKind::cup_turbulent).empty());
    const study::CurveResult hot = curve_at(0.295, {{"oil.temperature", "100 C"}});
    const std::vector<study::Warning> turbulent = of_kind(hot, study::WarningKind::cup_turbulent);
    REQUIRE(turbulent.size() == 1);
    CHECK(turbulent[0].place == "damper.end_of_stroke");
    CHECK(turbulent[0].value == 2000.0);
    CHECK(turbulent[0].speed.value() < warm[0].speed.value());
    const damper::Model model = lifts().model(*hot.reading.unit);
    const double speed = turbulent[0].speed.value();
    const double pressure = damper::steady_point(model, speed, 0.295).end_pressure.value();
    const damper::EndCupLaw* cup = model.end_cup(damper::Stroke::compression);
    CHECK_THAT(cup->reynolds(model.end_depth(damper::Stroke::compression, 0.295), pressure),
               WithinRel(2000.0, 1e-9));
    CHECK_THAT(text(hot), contains_text("the gap round the plug of end_of_stroke"));
    CHECK(json(hot).at("warnings").dump().find("turbulent") != std::string::npos);
}

TEST_CASE("a cup that runs empty is told as a void", "[report][cup]") {
    const study::CurveResult leaving = curve_at(0.295); // faster than its gap lets oil back in
    const std::vector<study::Warning> empty = of_kind(leaving, study::WarningKind::cup_empty);
    REQUIRE(empty.size() == 1);
    CHECK(empty[0].place == "damper.end_of_stroke");
    const double speed = empty[0].speed.value(); // whatever speeds were asked
    const damper::Model model = lifts().model(*leaving.reading.unit);
    CHECK(damper::steady_point(model, -speed * (1.0 + 1e-9), 0.295).is_cup_empty);
    CHECK_FALSE(damper::steady_point(model, -speed * (1.0 - 1e-9), 0.295).is_cup_empty);
    CHECK(json(leaving).at("points").at(0).at("cup_empty") == true);
    CHECK(json(leaving).at("points").at(1).at("cup_empty") == false);
    CHECK_THAT(json(leaving).at("warnings").dump(),
               contains_text("the cup of end_of_stroke is empty as its plug leaves: a void"));
    CHECK(of_kind(curve_at(0.15), study::WarningKind::cup_empty).empty());
    CHECK(of_kind(curve_at(0.295, {{"damper.end_of_stroke.ways", "one"}}), study::WarningKind::cup_empty)
              .empty());
}

TEST_CASE("compare puts the force of a cup down to its key", "[report][cup]") {
    const study::Comparison comparison = study::compare(
        {Document::load(rally_fork + "-both.yaml"), Document::load(rally_fork + "-cup.yaml")}, {}, lifts());
    REQUIRE(comparison.variants.size() == 1);
    const std::vector<std::string> said = sentences(comparison.variants[0], 4.0);
    REQUIRE(said.size() == 2);
    CHECK_THAT(said[0],
               contains_text("orce of the cup on compression at 1 m/s at 98 % travel 0 N → ") &&
                   contains_text("(also at 3 m/s), because of the cup at the end of the stroke, none → "));
    CHECK_THAT(said[1], contains_text("orce of the cup on rebound at 1 m/s at 2 % travel 0 N → -") &&
                            contains_text("because of the cup at full extension, none → "));
}

TEST_CASE("a straight plug enters with the gap that it ends with, and that is told", "[report][cup]") {
    const setup::Reading reading = setup::read(Document::load(
        rally_fork + ".yaml", {{"damper.end_of_stroke", "{plug: 16 mm, length: 20 mm, gap: 0.3 mm}"}}));
    const damper::EndCup cup = reading.unit->cartridge.end_of_stroke.value();
    CHECK(cup.entry_gap == cup.gap);
    CHECK(cup.ways == flow::BleedWays::both);
    CHECK_FALSE(cup.hole);
    std::vector<std::string> told;
    for (const setup::DefaultUsed& used : reading.defaults)
        if (used.key.rfind("damper.end_of_stroke.", 0) == 0) told.push_back(used.key + ": " + used.value);
    CHECK(told == std::vector<std::string>{
                      "damper.end_of_stroke.ways: both", "damper.end_of_stroke.discharge: 0.7",
                      "damper.end_of_stroke.transition: 500", "damper.end_of_stroke.entry_gap: 0.3 mm"});
}
