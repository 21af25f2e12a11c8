#include <support/catch.hpp>
#include <valve/report/wear.hpp>
#include <valve/setup/document.hpp>
#include <valve/setup/read.hpp>

#include <string>
#include <vector>

using namespace valve;
using namespace valve::report;

TEST_CASE("wear names its cases and says what it takes for granted", "[report][wear]") {
    const std::string file = std::string(VALVE_SOURCE_DIR) + "/stacks/rally-fork.yaml";
    damper::LiftCache lifts({.theory = stack::Theory::linear});
    const study::WearStudy wear = study::wear_study(file, setup::read(setup::Document::load(file)),
                                                    {.speeds = {-1.0, 1.0}}, study::wear_multiples(), lifts);
    const std::string said = text(wear);
    CHECK_THAT(said,
               contains_text("Wear: as is, gap x 2, gap x 3, friction x 2, friction x 3 and both x 3."));
    CHECK_THAT(said, contains_text("0.02 mm of ring gap and 18.0 N of reservoir friction"));
    CHECK_THAT(said, contains_text("is an assumption"));
    const Json object = json(wear);
    CHECK_THAT(object.at("family").at(2).at("ring_gap_m").get<double>(), WithinRel(0.06e-3, 1e-12));
    CHECK(object.at("family").at(5).at("reservoir_friction_N") == 54.0);
    CHECK(points(wear).size() == 12);
}
