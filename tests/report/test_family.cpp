#include <report/samples.hpp>
#include <support/catch.hpp>
#include <valve/report/family.hpp>

#include <stdexcept>

using namespace valve::report;

namespace {

/// Two settings of one adjuster; the second doubles every force, has a void and a point without solution.
Family family_of_two() {
    Family family{{"base.compression", "valves.base.compression.x", "clicks", {"4", "12"}}, {}};
    CurveResult member;
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
    const Family family = family_of_two();
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

TEST_CASE("a family needs a document for each setting", "[report]") {
    valve::damper::LiftCache lifts;
    CHECK_THROWS_AS(family({}, {"a", "a", "", {"1", "2"}}, {}, lifts), std::invalid_argument);
}
