#include <report/samples.hpp>
#include <support/catch.hpp>
#include <valve/report/curve.hpp>

#include <limits>
#include <utility>

using namespace valve::report;

namespace {

valve::study::CurveResult result_of(std::vector<valve::damper::SteadyPoint> points) {
    valve::study::CurveResult result;
    result.file = "fork.yaml";
    result.reading.title = "A fork";
    result.reading.unit.emplace();
    result.curve.travel = 0.15;
    result.curve.points = std::move(points);
    return result;
}

} // namespace

TEST_CASE("a point carries every key of the contract", "[report]") {
    const Json point = json(valve::samples::steady_point(-1.0));
    for (const char* key : {"speed_m_s",
                            "force_N",
                            "damping_force_N",
                            "static_force_N",
                            "p_C_Pa",
                            "p_R_Pa",
                            "p_S_Pa",
                            "dp_base_Pa",
                            "dp_piston_Pa",
                            "refill_deficit_Pa",
                            "balance_margin_Pa",
                            "share_base",
                            "void_growth_m3_s",
                            "cavitated",
                            "headroom_C_Pa",
                            "headroom_R_Pa",
                            "reservoir_friction_Pa",
                            "error",
                            "flow_base_m3_s",
                            "flow_piston_m3_s",
                            "lift_base_m",
                            "lift_piston_m"})
        CHECK(point.contains(key));
    CHECK(point.at("refill_deficit_Pa") == 0.4e5);
    CHECK(point.at("balance_margin_Pa").is_null());
    CHECK(point.at("share_base").is_null());
    CHECK(point.at("cavitated").is_null());
    CHECK(point.at("error").is_null());
}

TEST_CASE("a point without a solution has nulls, its speed and the reason", "[report]") {
    valve::damper::SteadyPoint unsolved;
    unsolved.speed = 50.0;
    unsolved.error = "beyond the end";
    const Json point = json(unsolved);
    for (const auto& [key, value] : point.items())
        if (key != "speed_m_s" && key != "error") CHECK(value.is_null());
    CHECK(point.at("speed_m_s") == 50.0);
    CHECK(point.at("error") == "beyond the end");

    const valve::study::CurveResult result = result_of({valve::samples::steady_point(1.0), unsolved});
    CHECK(result.failed());
    CHECK(text(result).find("No solution\nbeyond the end") != std::string::npos);
    // The keys are those of a solved point, so that the table has one head.
    CHECK(csv(json(result).at("points")).find("50.0,,,") != std::string::npos);
}

TEST_CASE("a number that is not finite never reaches the JSON", "[report]") {
    valve::damper::SteadyPoint point = valve::samples::steady_point(1.0);
    point.p_R = std::numeric_limits<double>::quiet_NaN();
    CHECK(json(point).at("p_R_Pa").is_null());
    CHECK(json(point).at("error") == "no finite value for p_R_Pa");
}

TEST_CASE("void onset leads the text, and each direction shows what matters there", "[report]") {
    valve::study::CurveResult result =
        result_of({valve::samples::steady_point(-2.0), valve::samples::steady_point(-1.0),
                   valve::samples::steady_point(1.0)});
    result.curve.void_onset.rebound = 1.3;
    result.curve.points[0].cavitated = valve::damper::Chamber::C;
    const std::string all = text(result);
    CHECK(all.find("At 150 mm travel: voids on rebound from 1.30 m/s; no void on compression up to 4 m/s.") <
          all.find("Compression"));
    const std::size_t rebound = all.find("\nRebound");
    REQUIRE(rebound != std::string::npos);
    CHECK(all.find("margin") < rebound);
    CHECK(all.find("deficit", all.find("Compression")) > rebound);
    CHECK(all.find("void C") > rebound);
    CHECK(all.find("Theory: linear plates") != std::string::npos);
    // Slow before fast, both ways.
    CHECK(all.find("\n     -1 ") < all.find("\n     -2 "));
}

TEST_CASE("a search for voids that broke off is not told as none", "[report]") {
    valve::damper::VoidOnset onset;
    onset.compression_end = {2.95, "at 3 m/s: beyond the end"};
    CHECK_THAT(sentence(onset, 4.0), contains_text("no void on rebound up to 4 m/s"));
    CHECK_THAT(sentence(onset, 4.0),
               contains_text("no void on compression up to 2.95 m/s, where the search broke off"));
    CHECK(sentence(onset, 4.0).find("Why it broke off: at 3 m/s: beyond the end.") != std::string::npos);
    CHECK(json(onset).at("error") == "at 3 m/s: beyond the end");
    CHECK(json(onset).at("compression_searched_to_m_s") == 2.95);
    CHECK(json(onset).at("rebound_searched_to_m_s").is_null());
    valve::study::CurveResult result = result_of({});
    result.curve.void_onset = onset;
    CHECK(result.failed());
}
