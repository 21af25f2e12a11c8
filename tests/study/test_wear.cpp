#include <support/catch.hpp>
#include <valve/setup/document.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/wear.hpp>

#include <cmath>
#include <stdexcept>
#include <string>
#include <vector>

using namespace valve;
using namespace valve::study;

namespace {

const std::string stacks = std::string(VALVE_SOURCE_DIR) + "/stacks/";

setup::Reading reading_of(const std::string& name, const std::vector<setup::Override>& overrides = {}) {
    return setup::read(setup::Document::load(stacks + name + ".yaml", overrides));
}

damper::LiftCache& lifts() {
    static damper::LiftCache cache({.theory = stack::Theory::linear});
    return cache;
}

WearStudy worn(const std::string& name, const std::vector<double>& multiples,
               const std::vector<setup::Override>& overrides = {}) {
    return wear_study(name, reading_of(name, overrides), {}, multiples, lifts());
}

double force(const CurveResult& member, double speed) {
    for (const damper::SteadyPoint& point : member.curve.points)
        if (point.speed == speed) return point.damping_force;
    throw std::runtime_error("no such speed");
}

/// Ring and seal of every case.
std::vector<std::vector<double>> cases(const WearStudy& wear) {
    std::vector<std::vector<double>> list;
    for (const Worn& one : wear.cases)
        list.push_back({one.ring, one.seal});
    return list;
}

} // namespace

TEST_CASE("a worn ring takes damping away, a dry seal the filling on rebound", "[study][wear]") {
    const WearStudy wear = worn("rally-fork", {2.0, 3.0});
    CHECK(cases(wear) == std::vector<std::vector<double>>{{1, 1}, {2, 1}, {3, 1}, {1, 2}, {1, 3}, {3, 3}});
    const std::vector<CurveResult>& members = wear.members;
    CHECK_THAT(members.at(2).reading.unit->cartridge.ring_leak->gap, WithinRel(0.06e-3, 1e-12));
    CHECK(members.at(2).reading.unit->reservoir.friction == 18.0);
    CHECK(members.at(5).reading.unit->reservoir.friction == 54.0);
    for (const double speed : {0.1, -0.1, -1.0}) {
        CAPTURE(speed);
        CHECK(std::abs(force(members[1], speed)) < std::abs(force(members[0], speed)));
        CHECK(std::abs(force(members[2], speed)) < std::abs(force(members[1], speed)));
        CHECK(std::abs(force(members[3], speed)) > std::abs(force(members[0], speed)));
    }
    const auto onset = [&](std::size_t member) {
        return members.at(member).curve.void_onset.rebound.value();
    };
    CHECK(onset(3) < onset(0));
    CHECK(onset(4) < onset(3));
    // The first member is the file's own curve, which the wear of others leaves alone.
    const CurveResult alone =
        curve_result("rally-fork", reading_of("rally-fork"), {.speeds = wear_speeds()}, lifts());
    for (const double speed : wear_speeds())
        CHECK(force(members.front(), speed) == force(alone, speed));
}

TEST_CASE("the friction of a seal is a force of its own, one leg's", "[study][wear]") {
    const WearStudy wear = worn("rally-fork", {2.0});
    // 18 N on 36 mm more, as a pressure on a rod of 12 mm, where nothing is empty
    const double more = 18.0 * (12.0 * 12.0) / (36.0 * 36.0);
    CHECK_THAT(force(wear.members.at(2), 0.1) - force(wear.members.at(0), 0.1), WithinRel(more, 1e-9));
}

TEST_CASE("what does not wear has no case, and nothing to wear is refused", "[study][wear]") {
    CHECK(cases(worn("rally-fork-bladder", {1.5})) == std::vector<std::vector<double>>{{1, 1}, {1.5, 1}});
    CHECK(cases(worn("rally-fork", {2.0}, {{"damper.ring_leak", "null"}})) ==
          std::vector<std::vector<double>>{{1, 1}, {1, 2}});
    CHECK_THROWS_WITH(worn("rally-fork-bladder", {2.0}, {{"damper.ring_leak", "null"}}),
                      contains_text("nothing here wears"));
    CHECK_THROWS_AS(worn("rally-fork", {}), std::invalid_argument);
    CHECK_THROWS_AS(worn("rally-fork", {-1.0}), std::invalid_argument);
    CHECK_THROWS_WITH(worn("rally-fork", {100.0}),
                      contains_text("damper.ring_leak.gap: '2 mm' is out of range"));
}
