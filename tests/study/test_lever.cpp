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

// What a bench changes in one go: common practice, no source.
TEST_CASE("each lever goes by its own step as far as it is stated to", "[study][lever]") {
    struct Row {
        const char* file;
        const char* key;
        const char* from; // null: as the file has it
        int least;
        int most;
        const char* next; // a step up, or down where none goes up
    };
    for (const Row& row :
         {Row{"rally-fork", "valves.base.compression.bleed.needle.clicks", nullptr, -10, 14, "11"},
          Row{"rally-fork", "valves.base.compression.bleed.needle", // no more than 60 steps
              "{seat: 3 mm, angle: 20 deg, per_click: 0.06 mm, clicks: 10, of: 100}", -10, 60, "11"},
          Row{"rally-shock", "valves.base.compression.float.adjuster.turns", nullptr, -4, 12, "1.25"},
          Row{"rally-fork", "support.leg.oil", nullptr, -10, 10, "370 ml"},
          Row{"rally-fork", "support.leg.oil", "20 ml", -3, 10, "25 ml"}, // some is left
          Row{"forest-fork", "support.leg.level.depth", nullptr, -10, 10, "120 mm"},
          Row{"rally-fork", "support.leg.pressure", "0.2 bar", -4, 10, "0.25 bar"},
          Row{"rally-fork", "support.spring.preload", nullptr, -6, 14, "7 mm"}, // to 20 mm
          Row{"rally-fork", "support.spring.preload", "24 mm", -24, 0, "23 mm"},
          Row{"rally-fork", "support.spring.rate", "19.9 N/mm", -59, 60, "20 N/mm"},
          Row{"rally-fork", "support.spring.rate", "20 N/mm", -3, 4, "22 N/mm"},
          Row{"rally-shock", "reservoir.gas_pressure", nullptr, -10, 10, "10.5 bar"},
          Row{"rally-shock", "reservoir.gas_pressure", "4 bar", -4, 4, "4.5 bar"},
          Row{"rally-shock", "reservoir.gas_pressure", "3.9 bar", -19, 19, "4 bar"},
          Row{"rally-shock", "reservoir.gas_pressure", "1 bar", -5, 10, "1.1 bar"}, // to 2 bar
          Row{"rally-fork", "reservoir.preload", nullptr, -8, 12, "45 N"},
          Row{"rally-fork", "reservoir.preload", "10 N", -2, 6, "15 N"}, // to 40 N
          Row{"rally-fork", "reservoir.rate", nullptr, -3, 3, "2 N/mm"},
          Row{"rally-fork", "reservoir.friction", nullptr, -5, 0, "14 N"},
          Row{"rally-fork", "oil.viscosity", nullptr, -7, 7, "{40 C: 17.6 mm2/s, 100 C: 4.29 mm2/s}"},
          Row{"rally-fork", "valves.base.refill.float.travel", nullptr, -15, 14, "0.85 mm"}, // 0.05 to 1.5
          Row{"rally-fork", "valves.base.refill.float.rate", nullptr, -20, 6, "75 N/mm"},
          Row{"rally-fork", "valves.piston.compression.float.rate", nullptr, -11, 6, "1.5 N/mm"}, // from 0.1
          Row{"rally-fork", "valves.base.refill.float.preload", nullptr, -15, 6, "28 N"},
          Row{"rally-fork", "valves.piston.compression.float.preload", nullptr, -10, 6, "1.2 N"}, // from 0.1
          Row{"rally-fork", "valves.base.compression.ports.area", nullptr, 0, 8,
              "13.7 mm2"}, // none closed up
          Row{"road-shock", "valves.base.compression.bleed.hole", nullptr, -14, 14, "1.26 mm"},
          Row{"rally-fork", "support.friction", nullptr, -4, 0, "20 N"}}) {
        CAPTURE(row.file, row.key, row.from == nullptr ? "" : row.from);
        std::vector<setup::Override> changed;
        if (row.from != nullptr) changed.push_back({row.key, row.from});
        const setup::Document document = demo(row.file, changed);
        const std::string needle = ".bleed.needle";
        const std::string key =
            std::string(row.key) + (std::string(row.key).ends_with(needle) ? ".clicks" : "");
        const std::vector<Lever> list = levers(setup::read(document));
        const Lever& one = lever(list, key);
        CHECK(one.least == row.least);
        CHECK(one.most == row.most);
        CHECK(text(one.edited(document, one.most > 0 ? 1 : -1), key) == row.next);
    }
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
    // Strip of less than 0.10 mm is not cut for valves.
    const setup::Document thin =
        fork.with("valves.base.compression.shims", "[24 x 0.15, 22 x 0.149, 20 x 0.12, 18 x 0.10]");
    std::vector<std::string> thinner;
    for (const setup::ShimVariant& one : setup::shim_variants(thin, "valves.base.compression"))
        if (one.change == ShimChange::thinner) thinner.push_back(one.becomes);
    CHECK(thinner == std::vector<std::string>{"24 x 0.10"});

    // A map keeps what else it says, and a stack keeps its last shim.
    const setup::Document one =
        fork.with("valves.base.refill.shims", "[{outer: 26, thickness: 0.2, material: {E: 200 GPa}}]");
    const std::vector<setup::ShimVariant> of_one = setup::shim_variants(one, "valves.base.refill");
    REQUIRE(of_one.size() == 4); // none fewer
    CHECK(of_one[0].shims == "[{outer: 26, thickness: 0.2, material: {E: 200 GPa}, count: 2}]");
    CHECK(of_one[1].shims == "[{outer: 26, thickness: 0.25 mm, material: {E: 200 GPa}, count: 1}]");
}

// What a bench changes in one go: common practice, no source.
TEST_CASE("air goes as far as gas does where it is the spring, and half a bar up beside a coil",
          "[study][lever]") {
    const auto of = [](const char* pressure, bool has_coil) {
        std::vector<setup::Override> changed{{"support.leg.pressure", pressure}};
        if (!has_coil) changed.push_back({"support.spring", "null"});
        return lever(levers(setup::read(demo("rally-fork", changed))), "support.leg.pressure");
    };
    const Lever beside = of("1 bar", true);
    CHECK(beside.least == -20); // to none, by 0.05 bar
    CHECK(beside.most == 10);
    const Lever soft = of("1 bar", false);
    CHECK(soft.least == -10); // half of it
    CHECK(soft.most == 20);   // 2 bar
    const Lever firm = of("3 bar", false);
    CHECK(firm.least == -30);
    CHECK(firm.most == 30); // 4.5 bar
    const Lever below = of("3.9 bar", false);
    CHECK(below.least == -39);
    const Lever hard = of("8 bar", false);
    CHECK(hard.least == -40); // by 0.1 bar
    CHECK(hard.most == 40);
}
