#include <report/samples.hpp>
#include <support/catch.hpp>
#include <valve/report/family.hpp>

using namespace valve::report;
using valve::study::CurveFamily;

namespace {

/// Two settings of one adjuster; the second doubles every force, has a void and a point without solution.
CurveFamily family_of_two() {
    CurveFamily family{{"base.compression", "valves.base.compression.x", "clicks", {"4", "12"}}, {}};
    valve::study::CurveResult member;
    member.file = "fork.yaml";
    member.reading.title = "A fork";
    member.reading.unit.emplace();
    member.curve.travel = 0.15;
    for (const double speed : {1.0, -1.0, 2.0})
        member.curve.points.push_back(valve::samples::steady_point(speed));
    family.members.assign(2, member);
    valve::damper::Curve& second = family.members[1].curve;
    for (valve::damper::SteadyPoint& point : second.points)
        point.damping_force *= 2.0;
    second.points[1].cavitated = valve::damper::Chamber::C;
    second.void_onset.rebound = 0.75;
    second.points[2].error = "beyond the end";
    return family;
}

} // namespace

TEST_CASE("a family has a column a setting and says what the last changes over the first", "[report]") {
    const std::string all = text(family_of_two());
    CHECK_THAT(all, contains_text("base.compression at 4 and 12 clicks out. Damping"));
    CHECK_THAT(all, contains_text("      1  100       200             100\n"));
    CHECK_THAT(all, contains_text("     -1  -100   -200*            100\n"));
    CHECK_THAT(all, contains_text("      2  200   unsolved              -\n"));
    CHECK_THAT(all, contains_text("rebound                     none  0.75\n"));
    CHECK_THAT(all, contains_text("12: beyond the end\n"));
    CHECK(family_of_two().failed());
}

TEST_CASE("the points of a family carry their setting", "[report]") {
    const CurveFamily family = family_of_two();
    const Json object = json(family);
    REQUIRE(object.at("family").size() == 2);
    CHECK(object.at("sweep").at("key") == "valves.base.compression.x");
    CHECK(object.at("family").at(1).at("setting") == "12");
    CHECK(object.at("family").at(1).at("points").at(0).at("damping_force_N") == 200.0);
    CHECK(object.at("family").at(1).at("void_onset").at("rebound_m_s") == 0.75);
    REQUIRE(points(family).size() == 6);
    CHECK(csv(points(family)).rfind("setting,speed_m_s,force_N,", 0) == 0);
    CHECK(points(family).at(3).at("setting") == "12");
}

TEST_CASE("a family says once what ports and shims say, and at which settings", "[report]") {
    CurveFamily family = family_of_two();
    using valve::study::WarningKind;
    const auto set_in = [](int shim) {
        return valve::study::Warning{
            .kind = WarningKind::shim_keeps_set, .pressure = 2e5, .radius = 8e-3, .shim = shim};
    };
    family.members[0].warnings = {set_in(1), set_in(2)};
    family.members[1].warnings = {set_in(2)};
    const std::string all = text(family);
    CHECK_THAT(
        all, contains_text("\nPorts and shims\nwarning (at 4): Shim 1 keeps a set (at Ø 16, from 2.00 bar on "
                           "the face shim).\nwarning (at every setting): Shim 2 keeps a set (at Ø 16, "
                           "from 2.00 bar on the face shim).\n"));
    CHECK(json(family).at("family").at(0).at("warnings").size() == 2);
    CHECK(text(family_of_two()).find("Ports and shims") == std::string::npos);
}

TEST_CASE("settings without a unit are told in that of their key", "[report]") {
    CurveFamily family = family_of_two();
    family.sweep = {"damper.ring_leak.gap", "damper.ring_leak.gap", "", {"0.02", "0.04"}, "mm"};
    CHECK_THAT(text(family), contains_text("damper.ring_leak.gap at 0.02 and 0.04 mm. Damping"));
    CHECK(json(family).at("sweep").at("unit") == "mm");
}

TEST_CASE("a family names the settings without a result, and what it takes for granted", "[report]") {
    CurveFamily family = family_of_two();
    family.left_out = {{"99", "out of range"}};
    CHECK(json(family).at("left_out").at(0).at("setting") == "99");
    CHECK(json(family).at("left_out").at(0).at("error") == "out of range");
    CHECK(json(family, "All else as new.").at("assumption") == "All else as new.");
    CHECK_THAT(text(family, "All else as new."), contains_text("All else as new."));
}
