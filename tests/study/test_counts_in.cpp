#include <support/catch.hpp>
#include <valve/report/comparison.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/comparison.hpp>
#include <valve/study/counts_in.hpp>

#include <algorithm>
#include <string>
#include <vector>

using namespace valve;
using namespace valve::study;

namespace {

setup::Document demo(const std::vector<setup::Override>& overrides = {}) {
    return setup::Document::load(VALVE_SOURCE_DIR "/stacks/rally-shock.yaml", overrides);
}

Variant compared(const std::vector<setup::Override>& overrides, const CompareOptions& options = {}) {
    static damper::LiftCache cache({.theory = stack::Theory::linear});
    return compare({demo(), demo(overrides)}, options, cache).variants.front();
}

const std::vector<setup::Override> in_time{{"oil.bulk_modulus", "0.9 GPa"},
                                           {"oil.free_air", "3 %"},
                                           {"damper.dead_length.C", "55 mm"},
                                           {"reservoir.mass", "90 g"},
                                           {"valves.piston.rebound.ports.length", "30 mm"},
                                           {"valves.base.refill.material.density", "9000 kg/m3"},
                                           {"valves.piston.rebound.shim_friction", "0.4"},
                                           {"valves.piston.rebound.restitution", "0.4"}};
const std::vector<setup::Override> on_rides{{"vehicle.unsprung", "30 kg"}, {"vehicle.tyre.rate", "240 N/mm"}};

} // namespace

TEST_CASE("keys that count in time or on rides alone move no steady figure", "[study][counts]") {
    for (const std::vector<setup::Override>* list : {&in_time, &on_rides})
        for (const setup::Override& one : *list) {
            CAPTURE(one.key);
            CHECK(counts_in(one.key) == (list == &in_time ? CountsIn::time : CountsIn::rides));
            const Variant variant = compared({one});
            REQUIRE(variant.differences.size() == 1);
            CHECK(variant.changes.empty());
            CHECK_FALSE(variant.largest_unchanged);
            REQUIRE(variant.not_asked.size() == 1);
            CHECK(one.key.starts_with(variant.not_asked.front().key)); // or the map it is in
        }
    CHECK(counts_in("valves.base.compression.disc.mass") == CountsIn::time);
    CHECK(counts_in("oil.density") == CountsIn::all);
    CHECK(counts_in("vehicle.linkage.travel") == CountsIn::all);
    CHECK(counts_in("support.load.sprung") == CountsIn::all);
}

TEST_CASE("a map counts where all that differs in it does", "[study][counts]") {
    const auto only = [](const setup::Document& from, const setup::Document& to) {
        const std::vector<setup::Difference> list = setup::differences(from, to);
        REQUIRE(list.size() == 1);
        return list.front();
    };
    const std::string material = "valves.base.refill.material";
    const setup::Document bare = demo().without(material); // the whole map is new, or gone
    CHECK(only(bare, bare.with(material + ".density", "9000 kg/m3")).key == material);
    CHECK(counts_in(only(bare, bare.with(material + ".density", "9000 kg/m3"))) == CountsIn::time);
    CHECK(counts_in(only(bare.with(material + ".density", "9000 kg/m3"), bare)) == CountsIn::time);
    CHECK(counts_in(only(bare, bare.with(material, "{E: 190 GPa, density: 9000 kg/m3}"))) == CountsIn::all);
    const setup::Document none = demo().without("vehicle");
    CHECK(counts_in(only(none.with("vehicle", "{unsprung: 14 kg}"), none)) == CountsIn::rides);
    CHECK(counts_in(only(none, none.with("vehicle", "{unsprung: 14 kg, tyre: {rate: 200 N/mm}}"))) ==
          CountsIn::rides);
    CHECK(counts_in(only(demo(), none)) == CountsIn::rides); // it is the unsprung mass alone

    damper::LiftCache cache({.theory = stack::Theory::linear});
    const auto beside = [&](const setup::Document& one) {
        return compare({bare, one}, {}, cache).variants.front();
    };
    CHECK(beside(bare.with(material + ".density", "9000 kg/m3")).not_asked.size() == 1);
    CHECK(beside(bare.with(material, "{E: 190 GPa, density: 9000 kg/m3}")).not_asked.empty());
}

TEST_CASE("a comparison says of which keys nothing that was asked can tell", "[study][counts]") {
    std::vector<setup::Override> both = in_time;
    both.insert(both.end(), on_rides.begin(), on_rides.end());
    both.push_back({"valves.base.refill.float.preload", "9 N"});
    CHECK(compared(both).not_asked.size() == in_time.size() + on_rides.size());
    const Variant cycles = compared(both, {.frequencies = {4.0}});
    CHECK(cycles.not_asked.size() == on_rides.size());
    const auto moved = [](const Variant& variant) {
        return std::any_of(variant.changes.begin(), variant.changes.end(),
                           [](const Change& change) { return bool(change.to.frequency); });
    };
    CHECK(moved(compared({{"oil.free_air", "3 %"}}, {.frequencies = {4.0}})));

    const std::vector<std::string> said = report::not_asked_sentences(cycles);
    REQUIRE(said.size() == 1);
    CHECK_THAT(said.front(), contains_text("count on rides alone, and no figure compared is of one."));
    CHECK(report::not_asked_sentences(compared({{"valves.base.refill.float.preload", "9 N"}})).empty());
}
