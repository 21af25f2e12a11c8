#include <program/run.hpp>
#include <support/catch.hpp>
#include <support/demos.hpp>

#include <nlohmann/json.hpp>

using namespace valve::tests;
using nlohmann::json;

namespace {

json solved(const std::string& arguments) {
    const Run run = valve::tests::run(arguments + " --json");
    INFO("valve " << arguments << "\n" << run.err);
    REQUIRE(run.status == 0);
    return json::parse(run.out);
}

/// Every demo; under the sanitizers, which take ten times as long, one of each layout.
std::vector<std::string> demos_to_run() {
    if (!VALVE_SANITIZED) return demo_files();
    std::vector<std::string> files;
    for (const char* name : {"rally-fork", "forest-fork", "rally-shock", "road-shock"})
        files.push_back(std::string(VALVE_SOURCE_DIR) + "/stacks/" + name + ".yaml");
    return files;
}

} // namespace

// Linear plates, which are the quicker ones.
TEST_CASE("every demo goes through inspect, curve, support and compare", "[program][demo]") {
    for (const std::string& file : demos_to_run()) {
        INFO(file);
        const Run inspected = run("inspect --round " + file);
        CHECK(inspected.status == 0);
        CHECK_THAT(inspected.out, contains_text("\nsupport: "));
        const json understood = solved("inspect " + file);
        CHECK(understood.at("valves").size() == 4);
        CHECK_FALSE(understood.at("defaults").empty());

        const json curve = solved("curve " + file + " --speeds=-2,-0.1,0.1,2 --theory linear");
        for (const json& point : curve.at("points")) {
            CHECK(point.at("damping_force_N").get<double>() * point.at("speed_m_s").get<double>() > 0.0);
            for (const char* pressure : {"p_C_Pa", "p_R_Pa", "p_S_Pa"})
                CHECK(point.at(pressure) > 0.0);
            CHECK((point.at("void_growth_m3_s") > 0.0) == !point.at("cavitated").is_null());
        }
        CHECK(solved("support " + file).at("points").size() > 2);
        const json same = solved("compare " + file + " " + file + " --theory linear");
        CHECK(same.at("changes").empty());
        CHECK(same.at("setups").at(0).at("figures") == same.at("setups").at(1).at("figures"));
    }
}

TEST_CASE("a map of the balance is the curves at its travels, and names what would mend it",
          "[program][demo]") {
    const std::string fork = "curve stacks/rally-fork.yaml --speeds=-1,1,3 --theory linear";
    const json map = solved(fork + " --travels 15,150 --lead-at 6");
    const json points = map.at("map").at("points");
    REQUIRE(points.size() == 6);
    const json at_150 = solved(fork + " --travel 150");
    for (const char* figure : {"speed_m_s", "force_N", "balance_margin_Pa", "headroom_R_Pa"})
        CHECK(points.at(4).at(figure) == at_150.at("points").at(1).at(figure));
    CHECK(map.at("map").at("void_onset").at(1).at("rebound_m_s") ==
          at_150.at("void_onset").at("rebound_m_s"));

    // What the map proposes does it.
    REQUIRE(map.at("lead").at("balance_margin_Pa") < 0.0);
    const json more_float = map.at("lead").at("changes").at(0);
    REQUIRE(more_float.at("is_enough") == true);
    const std::string to = std::to_string(more_float.at("to").get<double>() * 1e3);
    const json mended = solved("curve stacks/rally-fork.yaml --speeds=6 --theory linear --set "
                               "valves.piston.compression.float.travel=" +
                               to + " --top-speed 1");
    CHECK(mended.at("points").at(0).at("balance_margin_Pa") >= 0.0);

    const Run table = run(fork + " --travels 15,150 --csv");
    CHECK(table.out.rfind("travel_m,speed_m_s,", 0) == 0);
    CHECK_THAT(run("curve stacks/rally-shock.yaml --travels 65 --theory linear").out,
               contains_text("With gas behind C a balance margin below 0 is normal"));
    CHECK(run(fork + " --travels 15,150 --travel 10").status == 2);
    CHECK(run(fork + " --travels 15 --sweep base.compression=1,2").status == 2);
    CHECK(run(fork + " --lead-at 2").status == 2);
    CHECK(run(fork + " --travels 15 --lead-at=-2").status == 2);
    CHECK(run(fork + " --travels 301").status == 2);
}
