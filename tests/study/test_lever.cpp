#include <support/catch.hpp>
#include <valve/core/error.hpp>
#include <valve/study/lever.hpp>

#include <algorithm>

using namespace valve;
using namespace valve::study;

namespace {

setup::Document demo(const std::string& name, const std::vector<setup::Override>& overrides = {}) {
    return setup::Document::load(std::string(VALVE_SOURCE_DIR) + "/stacks/" + name + ".yaml", overrides);
}

const Lever& lever(const std::vector<Lever>& list, const std::string& key) {
    const auto found =
        std::find_if(list.begin(), list.end(), [&](const Lever& one) { return one.key == key && !one.shim; });
    REQUIRE(found != list.end());
    return *found;
}

std::string text(const setup::Document& document, const std::string& key) {
    return document.get(key).value().text;
}

} // namespace

TEST_CASE("a workshop changes the fork in its own steps", "[study][lever]") {
    const setup::Document fork = demo("rally-fork");
    const std::vector<Lever> list = levers(setup::read(fork));
    const auto after = [&](const std::string& key, int steps) {
        return text(lever(list, key).edited(fork, steps), key);
    };
    CHECK(after("valves.base.compression.bleed.needle.clicks", 1) == "11");
    CHECK(after("support.leg.oil", 2) == "375 ml");
    CHECK(after("support.spring.preload", -1) == "5 mm");
    CHECK(after("support.spring.rate", 1) == "4.9 N/mm");
    CHECK(after("reservoir.preload", 1) == "45 N");
    CHECK(after("oil.viscosity", 1) == "{40 C: 17.6 mm2/s, 100 C: 4.29 mm2/s}");
    CHECK(after("valves.piston.compression.float.travel", 1) == "0.15 mm");
    CHECK(after("reservoir.friction", -1) == "14 N");
    CHECK(lever(list, "valves.base.compression.bleed.needle.clicks").least == -10);
    CHECK(lever(list, "valves.base.compression.bleed.needle.clicks").most == 14);
    CHECK(lever(list, "support.leg.oil").least == -10); // 365 ml, and no less than 315
    CHECK(lever(list, "support.leg.oil").most == 10);
    CHECK(lever(list, "support.spring.rate").least == -14); // 4.8 to 3.4 N/mm
    CHECK(lever(list, "support.spring.rate").most == 19);   // to 6.7
    CHECK(lever(list, "oil.viscosity").most == 7);
    CHECK(lever(list, "reservoir.friction").most == 0); // nobody fits a worse seal
    CHECK(std::is_sorted(list.begin(), list.end(),
                         [](const Lever& a, const Lever& b) { return a.effort < b.effort; }));
    for (const Lever& one : list)
        CHECK(one.least <= 0);
}

TEST_CASE("what moves together moves together", "[study][lever]") {
    const setup::Document fork = demo("rally-fork");
    const std::vector<Lever> list = levers(setup::read(fork));
    const setup::Document coil = lever(list, "valves.base.refill.float.rate").edited(fork, -2);
    CHECK(text(coil, "valves.base.refill.float.rate") == "38 N/mm"); // 60 / 1.25²
    CHECK(text(coil, "valves.base.refill.float.preload") == "14 N");
    const setup::Document seals = lever(list, "support.friction").edited(fork, -1);
    CHECK(text(seals, "support.friction") == "20 N");
    CHECK(text(seals, "support.breakaway") == "26 N");

    const setup::Document forest = demo("forest-fork");
    const setup::Document spring =
        lever(levers(setup::read(forest)), "support.spring.rate").edited(forest, 11);
    CHECK(text(spring, "support.spring.rate") == "5.5 N/mm"); // 4.4 and a quarter
    CHECK(text(spring, "support.spring.second.rate") == "7 N/mm");
}

TEST_CASE("a step from a value in another unit ends on digits of its own", "[study][lever]") {
    const setup::Document fork = setup::Document::load(VALVE_SOURCE_DIR "/stacks/rally-fork.yaml",
                                                       {{"support.spring.rate", "25 lbf/in"},
                                                        {"support.spring.preload", "0.5 in"},
                                                        {"valves.base.refill.float.travel", "0.06 in"}});
    const std::vector<Lever> list = levers(setup::read(fork));
    const auto after = [&](const std::string& key, int steps) {
        return text(lever(list, key).edited(fork, steps), key);
    };
    CHECK(after("support.spring.rate", -9) == "3.478 N/mm"); // of 4.3782
    CHECK(after("support.spring.preload", 1) == "13.7 mm");
    CHECK(after("valves.base.refill.float.travel", 2) == "1.624 mm"); // of 1.524
}

TEST_CASE("a bladder in place of the sprung piston starts at its pressure, as stiff", "[study][lever]") {
    const setup::Document fork = demo("rally-fork");
    const damper::SetUp found = *setup::read(fork).unit;
    const damper::SetUp changed =
        *setup::read(lever(levers(setup::read(fork)), "reservoir").edited(fork, 1)).unit;
    CHECK(changed.reservoir.kind == damper::ReservoirKind::bladder);
    const double area = 0.25 * 3.14159265358979 * found.reservoir.diameter * found.reservoir.diameter;
    CHECK_THAT(changed.reservoir.gas_pressure - p_atm,
               WithinRel(found.reservoir.preload / area, 5e-3)); // 3 digits
    CHECK_THAT(changed.reservoir.exponent * changed.reservoir.gas_pressure / changed.reservoir.gas_volume,
               WithinRel(found.reservoir.spring_rate / (area * area), 1e-2));
}

TEST_CASE("one shim at a time, in each stack", "[study][lever][shims]") {
    const setup::Document fork = demo("rally-fork");
    const std::vector<setup::ShimVariant> variants = setup::shim_variants(fork, "valves.base.compression");
    const auto after = [&](setup::ShimChange change, int item) {
        const auto found = std::find_if(variants.begin(), variants.end(), [&](const setup::ShimVariant& one) {
            return one.change == change && one.item == item;
        });
        REQUIRE(found != variants.end());
        return found->shims;
    };
    using setup::ShimChange;
    const std::string tail = ", 20 x 0.15, 18 x 0.15, 16 x 0.20, 14 x 0.20]";
    CHECK(after(ShimChange::more, 1) == "[7 * 24 x 0.15, 22 x 0.15" + tail);
    CHECK(after(ShimChange::fewer, 1) == "[5 * 24 x 0.15, 22 x 0.15" + tail);
    CHECK(after(ShimChange::fewer, 2) == "[6 * 24 x 0.15" + tail);
    CHECK(after(ShimChange::thicker, 1) == "[5 * 24 x 0.15, 24 x 0.20, 22 x 0.15" + tail);
    CHECK(after(ShimChange::thinner, 2) == "[6 * 24 x 0.15, 22 x 0.10" + tail);
    CHECK(after(ShimChange::smaller, 1) == "[5 * 24 x 0.15, 23 x 0.15, 22 x 0.15" + tail);
    CHECK(variants.front().was == "24 x 0.15");
    CHECK(std::all_of(variants.begin(), variants.end(),
                      [](const setup::ShimVariant& one) { return one.is_alone; }));
    // Of one size in two places it is told which is meant.
    const std::vector<setup::ShimVariant> crossed = setup::shim_variants(
        fork.with("valves.base.compression.shims", "[24 x 0.15, 18 x 0.10, {outer: 24, thickness: 0.15 mm}]"),
        "valves.base.compression");
    for (const setup::ShimVariant& one : crossed) {
        CHECK(one.is_alone == (one.item == 2));
        CHECK(one.behind == (one.item == 1 ? "" : one.item == 2 ? "24 x 0.15" : "18 x 0.10"));
    }
    CHECK(setup::shim_variants(demo("rally-shock"), "valves.base.compression").empty()); // a disc

    // A map keeps what else it says, and a stack keeps its last shim.
    const setup::Document one =
        fork.with("valves.base.refill.shims", "[{outer: 26, thickness: 0.2, material: {E: 200 GPa}}]");
    const std::vector<setup::ShimVariant> of_one = setup::shim_variants(one, "valves.base.refill");
    REQUIRE(of_one.size() == 4); // none fewer
    CHECK(of_one[0].shims == "[{outer: 26, thickness: 0.2, material: {E: 200 GPa}, count: 2}]");
    CHECK(of_one[1].shims == "[{outer: 26, thickness: 0.25 mm, material: {E: 200 GPa}, count: 1}]");
}
