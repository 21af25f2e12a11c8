#include <support/catch.hpp>
#include <valve/report/wear.hpp>

#include <stdexcept>

using namespace valve;
using namespace valve::report;

namespace {

const std::string stacks = std::string(VALVE_SOURCE_DIR) + "/stacks/";

setup::Reading reading_of(const std::string& name, const std::vector<setup::Override>& overrides = {}) {
    return setup::read(setup::Document::load(stacks + name + ".yaml", overrides));
}

damper::LiftCache& lifts() {
    static damper::LiftCache cache({.theory = stack::Theory::linear});
    return cache;
}

Family worn(const std::string& name, const std::vector<double>& multiples,
            const std::vector<setup::Override>& overrides = {}) {
    return wear_family(name, reading_of(name, overrides), {}, multiples, lifts());
}

double force(const Family& family, std::size_t member, double speed) {
    for (const damper::SteadyPoint& point : family.members.at(member).curve.points)
        if (point.speed == speed) return point.damping_force;
    throw std::runtime_error("no such speed");
}

} // namespace

TEST_CASE("a worn ring takes damping away, a dry seal the filling on rebound", "[report][wear]") {
    const Family family = worn("rally-fork", {2.0, 3.0});
    CHECK(family.sweep.settings == std::vector<std::string>{"as is", "gap x 2", "gap x 3", "friction x 2",
                                                            "friction x 3", "both x 3"});
    const Json object = wear_json(family);
    CHECK_THAT(object.at("family").at(2).at("ring_gap_m").get<double>(), WithinRel(0.06e-3, 1e-12));
    CHECK(object.at("family").at(2).at("reservoir_friction_N") == 18.0);
    CHECK(object.at("family").at(5).at("reservoir_friction_N") == 54.0);
    for (const double speed : {0.1, -0.1, -1.0}) {
        CAPTURE(speed);
        CHECK(std::abs(force(family, 1, speed)) < std::abs(force(family, 0, speed)));
        CHECK(std::abs(force(family, 2, speed)) < std::abs(force(family, 1, speed)));
        CHECK(std::abs(force(family, 3, speed)) > std::abs(force(family, 0, speed)));
    }
    const auto onset = [&](std::size_t member) {
        return family.members.at(member).curve.void_onset.rebound.value();
    };
    CHECK(onset(3) < onset(0));
    CHECK(onset(4) < onset(3));
    // The first member is the file's own curve, which the wear of others leaves alone.
    const study::CurveResult alone =
        study::curve_result("rally-fork", reading_of("rally-fork"), {.speeds = wear_speeds()}, lifts());
    CHECK(json(family.members.front()) == json(alone));
}

TEST_CASE("the friction of a seal is a force of its own, one leg's", "[report][wear]") {
    const Family family = worn("rally-fork", {2.0});
    // 18 N on 36 mm more, as a pressure on a rod of 12 mm, where nothing is empty
    const double more = 18.0 * (12.0 * 12.0) / (36.0 * 36.0);
    CHECK_THAT(force(family, 2, 0.1) - force(family, 0, 0.1), WithinRel(more, 1e-9));
}

TEST_CASE("what does not wear has no column, and nothing to wear is refused", "[report][wear]") {
    CHECK(worn("rally-fork-bladder", {1.5}).sweep.settings == std::vector<std::string>{"as is", "gap x 1.5"});
    CHECK(worn("rally-fork", {2.0}, {{"damper.ring_leak", "null"}}).sweep.settings ==
          std::vector<std::string>{"as is", "friction x 2"});
    CHECK_THROWS_WITH(worn("rally-fork-bladder", {2.0}, {{"damper.ring_leak", "null"}}),
                      contains_text("nothing here wears"));
    CHECK_THROWS_AS(worn("rally-fork", {}), std::invalid_argument);
    CHECK_THROWS_AS(worn("rally-fork", {-1.0}), std::invalid_argument);
    CHECK_THROWS_WITH(worn("rally-fork", {100.0}),
                      contains_text("damper.ring_leak.gap: '2 mm' is out of range"));
}

TEST_CASE("wear says what it takes for granted", "[report][wear]") {
    const std::string said = text(worn("rally-fork", wear_multiples()));
    CHECK_THAT(said,
               contains_text("Wear: as is, gap x 2, gap x 3, friction x 2, friction x 3 and both x 3."));
    CHECK_THAT(said, contains_text("0.02 mm of ring gap and 18.0 N of reservoir friction"));
    CHECK_THAT(said, contains_text("is an assumption"));
}
