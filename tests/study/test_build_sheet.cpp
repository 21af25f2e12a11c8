#include <support/catch.hpp>
#include <valve/damper/leg_air.hpp>
#include <valve/study/build_sheet.hpp>

#include <algorithm>
#include <string>

using namespace valve;
using namespace valve::study;

namespace {

setup::Document file(const std::string& name, const std::vector<setup::Override>& overrides = {}) {
    return setup::Document::load(std::string(VALVE_SOURCE_DIR) + "/stacks/" + name + ".yaml", overrides);
}

const BenchFigure* find(const std::vector<BenchFigure>& figures, BenchItem item,
                        const std::string& place = "") {
    const auto found = std::find_if(figures.begin(), figures.end(), [&](const BenchFigure& one) {
        return one.item == item && one.place == place;
    });
    return found == figures.end() ? nullptr : &*found;
}

const BenchFigure& figure(const BuildSheet& sheet, BenchItem item, const std::string& place = "") {
    const BenchFigure* found = find(sheet.figures, item, place);
    REQUIRE(found != nullptr);
    return *found;
}

/// A variant of the demo fork beside it.
struct Against {
    setup::Reading found = setup::read(file("rally-fork"));
    setup::Reading built;
    BuildSheet sheet;

    Against(const std::string& key, const std::string& value)
        : built(setup::read(file("rally-fork", {{key, value}}))),
          sheet(build_sheet(built, &found,
                            setup::differences(file("rally-fork"), file("rally-fork", {{key, value}})))) {}

    const BenchStack& stack(const std::string& valve) const {
        return *std::find_if(sheet.stacks.begin(), sheet.stacks.end(),
                             [&](const BenchStack& stack) { return stack.valve == valve; });
    }
};

} // namespace

TEST_CASE("the build sheet tells what a mechanic sets and measures", "[study][demo]") {
    const setup::Reading fork = setup::read(file("rally-fork"));
    const BuildSheet sheet = build_sheet(fork, nullptr, {});
    // 2 shims of 0.35 mm on a sleeve leave 0.8 mm.
    CHECK(figure(sheet, BenchItem::float_travel, "base.refill").value == 0.8e-3);
    CHECK_THAT(*figure(sheet, BenchItem::float_travel, "base.refill").sleeve, WithinRel(1.5e-3, 1e-12));
    CHECK(figure(sheet, BenchItem::adjuster, "base.compression").value == 10.0);
    CHECK(figure(sheet, BenchItem::oil_volume).value == 365e-6);
    const damper::SetUp& unit = *fork.unit;
    CHECK(figure(sheet, BenchItem::oil_level).value ==
          damper::oil_depth(*unit.support->leg, unit.cartridge, {}));
    CHECK_THAT(figure(sheet, BenchItem::viscosity).value, WithinRel(16e-6, 1e-12));
    CHECK(figure(sheet, BenchItem::spring_rate).each_leg);
    for (const BenchFigure& one : sheet.figures)
        CHECK_FALSE(one.changed());
    for (const BenchStack& stack : sheet.stacks)
        CHECK_FALSE(stack.changed());
    REQUIRE(sheet.reservoir);
    CHECK_FALSE(sheet.reservoir->found);
}

TEST_CASE("the build sheet marks what differs from the unit as found", "[study][demo]") {
    const setup::Document found_file = file("rally-fork");
    const setup::Document built_file = file("rally-fork-softer-check");
    const setup::Reading found = setup::read(found_file);
    const setup::Reading built = setup::read(built_file);
    const BuildSheet sheet = build_sheet(built, &found, setup::differences(found_file, built_file));
    CHECK(figure(sheet, BenchItem::float_travel, "base.refill").changed());
    CHECK(figure(sheet, BenchItem::float_travel, "base.refill").as_found == 0.8e-3);
    CHECK_FALSE(figure(sheet, BenchItem::float_travel, "piston.compression").changed());
    CHECK_FALSE(figure(sheet, BenchItem::oil_volume).changed());
    for (const BenchStack& stack : sheet.stacks)
        CHECK(stack.changed() == (stack.valve == "base.refill"));
    CHECK(sheet.changes.size() == 4);
    CHECK(sheet.comes_out.empty());
}

TEST_CASE("a swapped reservoir is marked, with what comes out", "[study][demo]") {
    const setup::Document found_file = file("rally-fork");
    const setup::Document built_file = file("rally-fork-bladder");
    const setup::Reading found = setup::read(found_file);
    const setup::Reading built = setup::read(built_file);
    const BuildSheet sheet = build_sheet(built, &found, setup::differences(found_file, built_file));
    REQUIRE(sheet.reservoir);
    CHECK(sheet.reservoir->built == damper::ReservoirKind::bladder);
    CHECK(sheet.reservoir->found == damper::ReservoirKind::spring_piston);
    CHECK(figure(sheet, BenchItem::gas_charge).changed());
    CHECK_FALSE(figure(sheet, BenchItem::gas_charge).as_found);
    REQUIRE(sheet.comes_out.size() == 2);
    CHECK(find(sheet.comes_out, BenchItem::reservoir_rate)->value == 1800.0);
    CHECK(find(sheet.comes_out, BenchItem::reservoir_spring)->value == 40.0);
}

TEST_CASE("a valve is marked for whatever of it differs, is new or is gone", "[study]") {
    const Against clamp("valves.piston.compression.clamp", "10 mm");
    CHECK(clamp.stack("piston.compression").changed());
    CHECK_FALSE(clamp.stack("piston.compression").other_shims());
    CHECK(clamp.stack("piston.compression").others.size() == 1);
    CHECK_FALSE(clamp.stack("piston.rebound").changed());
    const Against ports("valves.base.compression.ports.area", "15 mm2");
    CHECK(ports.stack("base.compression").changed());
    const Against oil("oil.viscosity", "{40 C: 14 mm2/s, 100 C: 3.5 mm2/s}");
    CHECK(figure(oil.sheet, BenchItem::viscosity).changed());
    const Against gone("valves.piston.compression", "null");
    CHECK(gone.sheet.valves_out == std::vector<std::string>{"piston.compression"});
    CHECK(find(gone.sheet.comes_out, BenchItem::float_travel, "piston.compression") != nullptr);
    // The other way round it is new.
    const BuildSheet back = build_sheet(gone.found, &gone.built, {});
    CHECK(std::any_of(back.stacks.begin(), back.stacks.end(), [](const BenchStack& stack) {
        return stack.valve == "piston.compression" && stack.is_new && stack.changed();
    }));
}
