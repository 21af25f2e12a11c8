#include <report/samples.hpp>
#include <support/catch.hpp>
#include <valve/report/balance_map.hpp>

using namespace valve;
using namespace valve::report;
using study::LeadBy;

namespace {

/// Made by hand: two travels, a void at the first, a mid-valve that leads, and a change of each kind.
study::BalanceMap map_by_hand() {
    study::BalanceMap map;
    map.file = "fork.yaml";
    map.reading =
        setup::read(setup::Document::load(std::string(VALVE_SOURCE_DIR) + "/stacks/rally-fork.yaml"));
    map.options.speeds = {1.0, 3.0, -1.0};
    map.options.travels = {0.01, 0.15};
    for (const double travel : map.options.travels) {
        damper::Curve curve;
        curve.travel = travel;
        for (const double speed : map.options.speeds)
            curve.points.push_back(samples::steady_point(speed));
        map.curves.push_back(curve);
    }
    map.curves[0].points[2].cavitated = damper::Chamber::C;
    map.curves[0].points[2].headroom_C = 0.0;
    map.curves[0].void_onset.rebound = 0.75;
    map.lead = study::Lead{3.0, 0.15, -1.2e5, false, 780.0, {}};
    map.lead->changes = {{LeadBy::mid_valve_float, 140, 35, 0.02e5, 690.0, std::nullopt,
                          "valves.piston.compression.float.travel", 0.1e-3, 0.45e-3},
                         {LeadBy::base_face_shims, 8, std::nullopt, -0.3e5, 900.0, std::nullopt,
                          "valves.base.compression.shims", 11.0, 19.0},
                         {LeadBy::mid_valve_shims, 5, 1, 0.1e5, 700.0, std::nullopt,
                          "valves.piston.compression.shims", 10.0, 9.0}};
    return map;
}

} // namespace

TEST_CASE("a map says which single change would let the base valve lead", "[report][balance]") {
    study::BalanceMap map = map_by_hand();
    CHECK_FALSE(map.failed());
    const std::vector<std::string> said = sentences(map);
    REQUIRE(said.size() == 4);
    CHECK(said[0] == "At 3 m/s the balance margin is -1.20 bar: the mid-valve leads.");
    CHECK(said[1] == "0.35 mm more mid-valve float (0.10 → 0.45 mm) alone would restore it: margin 0.02 bar, "
                     "damping 780 → 690 N.");
    CHECK(said[2] == "8 more face shims 24 x 0.15 on the base valve would not be enough: margin -0.30 bar, "
                     "damping 780 → 900 N.");
    CHECK(said[3] ==
          "1 face shim 21 x 0.15 less on the mid-valve, its float as it is, alone would restore it: "
          "margin 0.10 bar, damping 780 → 700 N.");

    map.lead->mid_valve_port_share = 0.71;
    CHECK_THAT(sentences(map).at(4), contains_text("chokes there: its ports take 71 % of its loss"));
    map.lead->mid_valve_port_share = 0.49;
    CHECK(sentences(map).size() == 4);
    map.lead->changes.back().float_given_back = 0.15e-3; // on a sleeve
    CHECK_THAT(sentences(map).at(3), contains_text("less on the mid-valve, its float 0.15 mm more, alone"));

    map.lead->changes = {{LeadBy::base_face_shims, 8, std::nullopt, 0.0, 0.0, "beyond its end"}};
    CHECK(sentences(map).at(1) ==
          "The search up to 8 more face shims 24 x 0.15 on the base valve broke off: beyond its end.");
    map.lead->changes.clear();
    CHECK_THAT(sentences(map).at(1), contains_text("no float on the mid-valve"));
    map.lead->margin = 0.4e5;
    CHECK(sentences(map).size() == 1);
    map.lead.reset();
    map.lead_error = "too fast";
    CHECK(map.failed());
    CHECK_THAT(sentences(map).at(0), contains_text("could not be solved: too fast."));
}

TEST_CASE("a search that broke off one way says nothing of the other", "[report][balance]") {
    study::BalanceMap map = map_by_hand();
    map.curves[0].void_onset = {};
    map.curves[0].void_onset.compression_end = {2.9, "beyond its end"};
    CHECK(map.failed());
    const std::string all = text(map);
    const auto row = [&](const std::string& name) {
        const std::size_t at = all.find(name, all.find("voids from"));
        return all.substr(at, all.find('\n', at) - at);
    };
    CHECK_THAT(row("rebound"), contains_text("none    none"));
    CHECK_THAT(row("compression"), contains_text("unsolved"));
    CHECK(json(map).at("map").at("void_onset").at(0).at("compression_searched_to_m_s") == 2.9);
    CHECK(json(map).at("map").at("void_onset").at(0).at("rebound_searched_to_m_s").is_null());
}

TEST_CASE("a shock with gas behind C is judged by the headroom of its rod side", "[report][balance]") {
    study::BalanceMap map = map_by_hand();
    map.reading =
        setup::read(setup::Document::load(std::string(VALVE_SOURCE_DIR) + "/stacks/rally-shock.yaml"));
    map.lead->changes.clear(); // nothing is looked for
    map.curves[1].points[1].headroom_R = 0.25e5;
    const std::vector<std::string> said = sentences(map);
    REQUIRE(said.size() == 1);
    CHECK_THAT(said[0], contains_text("Least on this map: 0.25 bar at 3 m/s and 150 mm."));
    CHECK(json(map).at("criterion") == "headroom_R");
}

TEST_CASE("a map has a column a travel, and a row a travel and speed", "[report][balance]") {
    const study::BalanceMap map = map_by_hand();
    const std::string all = text(map);
    CHECK_THAT(all, contains_text("  speed   10 mm  150 mm\n"));
    CHECK_THAT(all, contains_text("      3  -0.55   -0.55\n"));
    CHECK_THAT(all, contains_text("     -1  0.00*   1.80\n"));
    CHECK_THAT(all, contains_text("  rebound       0.75    none\n"));

    const Json object = json(map);
    REQUIRE(object.at("map").at("points").size() == 6);
    CHECK(object.at("map").at("points").at(4).at("travel_m") == 0.15);
    CHECK(object.at("map").at("points").at(4).at("speed_m_s") == 3.0);
    CHECK(object.at("map").at("void_onset").at(0).at("rebound_m_s") == 0.75);
    CHECK(object.at("criterion") == "balance_margin");
    const Json& more_float = object.at("lead").at("changes").at(0);
    CHECK(more_float.at("key") == "valves.piston.compression.float.travel");
    CHECK(more_float.at("from") == 0.1e-3);
    CHECK(more_float.at("to") == 0.45e-3);
    CHECK(object.at("lead").at("changes").at(1).at("to") == 19.0);
    CHECK(object.at("lead").at("changes").at(1).at("is_enough") == false);
    CHECK(csv(points(map)).rfind("travel_m,speed_m_s,force_N,", 0) == 0);
}
