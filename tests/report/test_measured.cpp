#include <support/catch.hpp>
#include <valve/report/measured.hpp>

using namespace valve::report;
using valve::damper::MeasuredForce;

namespace {

valve::study::RunBeside beside(double predicted) {
    valve::study::RunBeside result{"run.csv", MeasuredForce::damping, {}};
    result.deviations.points = {{{-1.0, -300.0, 2}, -310.0, std::nullopt},
                                {{2.0, 200.0, 1}, predicted, std::nullopt},
                                {{90.0, 9000.0, 1}, std::nullopt, "beyond the end"}};
    result.deviations.mean = -15.0;
    result.deviations.rms = 32.0;
    result.deviations.rms_share = 0.125;
    result.deviations.worst = 1;
    return result;
}

} // namespace

TEST_CASE("a run beside one prediction: a row a speed, then the sum of it", "[report][run]") {
    const std::string all = text(beside(240.0));
    CHECK_THAT(all, contains_text(
                        "Measured: run.csv, damping force, nothing is fitted; differences: + where more is "
                        "measured\n"));
    // On rebound less is measured than predicted, by amount: 300 N for 310.
    CHECK_THAT(all, contains_text("     -1      -300      2       -310         -10           -3\n"));
    CHECK_THAT(all, contains_text("      2       200      1        240         -40          -20\n"));
    CHECK_THAT(all, contains_text("     90      9000      1   unsolved           -            -\n"));
    CHECK_THAT(all, contains_text("mean -25 N, root mean square 32 N (12 %") ||
                        contains_text("mean -25 N, root mean square 32 N (13 %"));
    CHECK(beside(240.0).failed());

    const Json object = json(beside(240.0));
    CHECK(object.at("worst_speed_m_s") == 2.0);
    CHECK(object.at("points").at(1).at("difference_N") == -40.0);
    CHECK(object.at("points").at(0).at("difference_N") == 10.0); // of the forces with their signs
    valve::study::RunBeside more = beside(240.0);
    more.deviations.points[0].measured.force = -760.0;
    more.deviations.points[0].predicted = -717.0;
    CHECK_THAT(text(more), contains_text("     -1      -760      2       -717         +43           +6\n"));
    CHECK(object.at("points").at(2).at("predicted_N").is_null());
    CHECK(csv(points(beside(240.0)))
              .rfind("speed_m_s,measured_N,measured_count,measured_way,predicted_N,", 0) == 0);
}

TEST_CASE("a run beside two predictions has columns of both", "[report][run]") {
    const std::string all = text(std::vector<valve::study::RunBeside>{beside(240.0), beside(230.0)});
    CHECK_THAT(all, contains_text("measured - B"));
    CHECK_THAT(all, contains_text("Measured less B, as amounts: mean"));
    valve::study::RunBeside none{"run.csv", MeasuredForce::rod, {}};
    none.deviations.points = {{{90.0, 9000.0, 1}, std::nullopt, "beyond the end"}};
    CHECK_THAT(text(none), contains_text("no speed of the run has a prediction"));
}
