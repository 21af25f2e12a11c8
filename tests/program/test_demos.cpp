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

} // namespace

// Linear plates, which are the quicker ones.
TEST_CASE("every demo goes through inspect, curve, support and compare", "[program][demo]") {
    for (const std::string& file : demo_files()) {
        INFO(file);
        const Run inspected = run("inspect " + file);
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
