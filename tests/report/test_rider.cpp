#include <report/samples.hpp>
#include <support/catch.hpp>
#include <valve/report/rider.hpp>

using namespace valve;
using namespace valve::report;

namespace {

study::CurveResult fork(damper::VoidOnset middle, damper::VoidOnset near_extension) {
    study::CurveResult result;
    result.reading.unit.emplace();
    result.curve = samples::steady_curve();
    result.curve.void_onset = middle;
    result.curve.void_onset_near_extension = near_extension;
    return result;
}

bool says(const std::vector<std::string>& sentences, const std::string& words) {
    for (const std::string& sentence : sentences)
        if (sentence.find(words) != std::string::npos) return true;
    return false;
}

Change change(Figure from, Figure to, double noticed) {
    return {from, to, Cause::one_key, {"a"}, {}, noticed};
}

} // namespace

TEST_CASE("the rider hears of voids by the speeds that ground brings", "[report]") {
    const auto said = [](std::optional<double> middle, std::optional<double> hanging) {
        return for_the_rider(fork({{}, middle, {}}, {{}, hanging, {}}), nullptr);
    };
    CHECK(says(said(1.9, 0.9), "from 1.9 m/s on the way out a void"));
    CHECK(says(said(1.9, 0.9), "begins at 0.9 m/s already"));
    CHECK(says(said(2.1, 1.1), "Only a very fast return, from 2.1 m/s"));
    CHECK_FALSE(says(said(2.1, 1.1), "hanging"));
    CHECK(says(said({}, {}), "at any speed up to 4.0 m/s"));
    CHECK_FALSE(says(for_the_rider(fork({{}, {}, "broke off"}, {}), nullptr), "at any speed"));
}

TEST_CASE("a negative balance margin is told of a fork, not of a gas shock", "[report]") {
    study::CurveResult result = fork({}, {}); // its margin vanishes at 2.45 m/s
    CHECK(says(for_the_rider(result, nullptr), "At 2.5 m/s and faster"));
    result.reading.unit->cartridge.layout = damper::Layout::monotube;
    CHECK_FALSE(says(for_the_rider(result, nullptr), "m/s and faster"));
}

TEST_CASE("the rider hears of changes that can be noticed, each feeling once", "[report]") {
    Variant variant;
    variant.changes = {
        change({Quantity::void_onset_rebound, {}, 1.3, ""}, {Quantity::void_onset_rebound, {}, {}, ""}, 20.0),
        change({Quantity::damping_force, -1.0, -300.0, ""}, {Quantity::damping_force, -1.0, -360.0, ""}, 4.0),
        change({Quantity::damping_force, 3.0, 500.0, ""}, {Quantity::damping_force, 3.0, 400.0, ""}, 4.0),
        change({Quantity::support_force, {}, 4000.0, "", 0.9}, {Quantity::support_force, {}, 4400.0, "", 0.9},
               2.0),
        change({Quantity::support_force, {}, 8000.0, "", 1.0}, {Quantity::support_force, {}, 8900.0, "", 1.0},
               2.0),
        change({Quantity::damping_force, 0.1, 20.0, ""}, {Quantity::damping_force, 0.1, 22.0, ""}, 0.2)};
    const std::vector<std::string> said = for_the_rider(variant, 4.0);
    REQUIRE(said.size() == 4);
    CHECK(said[0] ==
          "In a series of hits it keeps following the ground longer (hollow strokes from 1.30 m/s, now "
          "none up to 4 m/s).");
    CHECK(said[1] == "It comes back more slowly at ordinary bumps (+20 % of force).");
    CHECK(said[2] == "It gives way more easily at hard hits (-20 % of force).");
    CHECK(said[3] == "It is carried higher and stiffer in the last part of the travel (+10 %).");

    variant.changes.resize(0);
    CHECK(says(for_the_rider(variant, 4.0), "Nothing that a rider would notice"));
}
