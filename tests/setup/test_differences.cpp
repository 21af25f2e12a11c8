#include <setup/files.hpp>
#include <support/catch.hpp>
#include <valve/core/error.hpp>
#include <valve/core/units.hpp>
#include <valve/setup/detail/node.hpp>
#include <valve/setup/told_difference.hpp>

using namespace valve;
using setup::Difference;
using setup::Document;

namespace {

Document example(const std::vector<setup::Override>& overrides = {}) {
    return Document::load(test_file("example.yaml"), overrides);
}

/// Each difference as "key: from -> to", "-" for none.
std::vector<std::string> listed(const std::vector<Difference>& differences) {
    std::vector<std::string> lines;
    for (const Difference& d : differences)
        lines.push_back(d.key + ": " + d.from.value_or("-") + " -> " + d.to.value_or("-"));
    return lines;
}

using Lines = std::vector<std::string>;

} // namespace

TEST_CASE("a document does not differ from itself, nor by its words", "[setup][difference]") {
    CHECK(setup::differences(example(), example()).empty());
    const Document other = example({{"title", "another"}, {"note", "n"}, {"result", "r"}});
    CHECK(setup::differences(example(), other).empty());
}

TEST_CASE("differences are single keys, lists whole", "[setup][difference]") {
    const Document changed = example({{"damper.rod", "14 mm"},
                                      {"valves.base.refill.float.rate", "60 N/mm"},
                                      {"valves.base.refill.shims", "[2 * 26 x 0.35]"},
                                      {"oil.viscosity.40 C", "20 mm2/s"}});
    CHECK(listed(setup::differences(example(), changed)) ==
          Lines{"oil.viscosity.40 C: 16 mm2/s -> 20 mm2/s", "damper.rod: 12 mm -> 14 mm",
                "valves.base.refill.float.rate: 0.8 N/mm -> 60 N/mm",
                "valves.base.refill.shims: [26 x 0.20] -> [2 * 26 x 0.35]"});
}

TEST_CASE("what is new or gone is one difference", "[setup][difference]") {
    const Document changed = example({{"valves.piston.rebound.jet_force", "0.5"},
                                      {"valves.base.compression.bleed", "null"},
                                      {"damper.ring_leak", "null"},
                                      {"oil.cavitation_pressure", "10 kPa"}});
    CHECK(listed(setup::differences(example(), changed)) ==
          Lines{"oil.cavitation_pressure: - -> 10 kPa", "damper.ring_leak: {gap: 0.02 mm, length: 8 mm} -> -",
                "valves.base.compression.bleed: {needle: {seat: 3 mm, angle: 20 deg, per_click: 0.06 mm, "
                "clicks: 10, "
                "of: 24}} -> -",
                "valves.piston.rebound.jet_force: - -> 0.5"});
}

TEST_CASE("keys that stand in place of each other differ as one map", "[setup][difference]") {
    const Document hole = example({{"valves.base.compression.bleed", "{hole: 1.2 mm}"}});
    const auto found = setup::differences(example(), hole);
    REQUIRE(found.size() == 1);
    CHECK(found[0].key == "valves.base.compression.bleed");
    CHECK(found[0].to == "{hole: 1.2 mm}");

    const Document bladder =
        example({{"reservoir", "{kind: bladder, gas_volume: 100 ml, gas_pressure: 1 bar}"}});
    CHECK(setup::differences(example(), bladder).size() == 1);

    const Document warmer = example({{"oil.viscosity", "{40 C: 16 mm2/s, 110 C: 3.4 mm2/s}"}});
    CHECK(listed(setup::differences(example(), warmer)) ==
          Lines{"oil.viscosity: {40 C: 16 mm2/s, 100 C: 3.9 mm2/s} -> {40 C: 16 mm2/s, 110 C: 3.4 mm2/s}"});

    // Places of valves are not alternatives.
    const Document moved = example({{"valves.base.refill", "null"}});
    const Document other = example({{"valves.piston.rebound", "null"}});
    CHECK(setup::differences(moved, other).size() == 2);
}

TEST_CASE("differences are told by what values come to, and only where they make one",
          "[setup][difference]") {
    const Document from = example().without("oil.free_air");
    const double bore = from.get("damper.bore").value().number.value();
    const std::string in_cm = format_quantity(bore, "cm");
    const std::string air = from.get("oil.free_air").value().text;
    const Document same = from.with("damper.bore", in_cm).with("oil.free_air", air);
    CHECK_FALSE(setup::differences(from, same).empty());
    CHECK(setup::real_differences(from, same).empty());
    CHECK(setup::told_differences(from, same).empty());

    const Document to = from.with("damper.rod", "0.5 in").with("oil.free_air", "3 %");
    const Document back = to.without("oil.free_air");
    const std::vector<Difference> told = setup::told_differences(from, to);
    REQUIRE(told.size() == 2);
    const auto of = [&](const std::vector<Difference>& list, const std::string& key) {
        for (const Difference& one : list)
            if (one.key == key) return one;
        return Difference{};
    };
    CHECK(of(told, "damper.rod").to == "12.7 mm (0.5 in)"); // the inch is 25.4 mm by definition
    CHECK(of(told, "oil.free_air").from == "0.5 % (default)");
    CHECK(of(told, "oil.free_air").to == "3 %");
    CHECK(of(setup::told_differences(to, back), "oil.free_air").to == "0.5 % (default)");
    // A bare number has the unit that its key documents.
    const Document bare = from.with("damper.rod", "11");
    CHECK(of(setup::told_differences(from, bare), "damper.rod").to == "11 mm");
    CHECK(of(setup::real_differences(from, bare), "damper.rod").to == "11");
}

TEST_CASE("undoing every difference alone gives a readable set-up, undoing all the first",
          "[setup][difference]") {
    const Document from = example();
    const Document to = example({{"damper.rod", "11 mm"},
                                 {"valves.base.refill.float.rate", "60 N/mm"},
                                 {"valves.base.compression.bleed", "{hole: 1.2 mm}"},
                                 {"valves.piston.rebound.bleed", "null"},
                                 {"valves.piston.rebound.jet_force", "0.5"},
                                 {"oil.viscosity.40 C", "20 mm2/s"},
                                 {"reservoir", "{kind: bladder, gas_volume: 100 ml, gas_pressure: 1 bar}"}});
    const auto found = setup::differences(from, to);
    CHECK(found.size() == 7);
    Document back = to;
    for (const Difference& difference : found) {
        INFO("key: " << difference.key);
        const Document alone = setup::undone(to, from, difference);
        CHECK_NOTHROW(setup::read(alone));
        CHECK(setup::differences(from, alone).size() == found.size() - 1);
        back = setup::undone(back, from, difference);
    }
    CHECK(setup::differences(from, back).empty());
    CHECK(setup::read(back).unit == setup::read(from).unit);
    CHECK(back.path() == to.path());
    CHECK_THROWS_AS(setup::undone(to, from, {"damper.none", std::nullopt, "1"}), std::invalid_argument);
    CHECK_THROWS_AS(setup::undone(to, from, {"damper.none", std::nullopt, std::nullopt}),
                    std::invalid_argument);
}
