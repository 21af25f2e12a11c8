#include <setup/files.hpp>
#include <support/catch.hpp>
#include <valve/core/units.hpp>
#include <valve/setup/node.hpp>
#include <valve/setup/reference.hpp>

#include <algorithm>
#include <set>

using namespace valve;
using setup::KeyRow;

namespace {

const KeyRow& row(const std::vector<KeyRow>& rows, const std::string& key) {
    const auto found = std::find_if(rows.begin(), rows.end(), [&](const KeyRow& r) { return r.key == key; });
    if (found == rows.end()) throw std::runtime_error("no row " + key);
    return *found;
}

/// The keys of a tree, those of valves as of base.compression.
void collect(const setup::Node& node, const std::string& path, std::set<std::string>& keys) {
    for (const setup::Member& member : node.members) {
        const bool is_valve = path == "valves";
        const std::string key = setup::joined(path, is_valve ? "base.compression" : member.key);
        keys.insert(key);
        if (key != "oil.viscosity") collect(member.value, key, keys);
    }
}

} // namespace

TEST_CASE("the reference has a row for every key, once, with its words", "[setup][reference]") {
    const std::vector<KeyRow> rows = setup::key_reference();
    std::set<std::string> keys;
    for (const KeyRow& r : rows) {
        INFO("key: " << r.key);
        CHECK(keys.insert(r.key).second);
        CHECK_FALSE(r.doc.empty());
        CHECK_FALSE(r.type.empty());
        CHECK_FALSE((r.is_required && !r.fallback.empty()));
    }
    std::set<std::string> used;
    collect(setup::Document::load(test_file("example.yaml")).root(), "", used);
    for (const std::string& key : used) {
        INFO("key: " << key);
        CHECK(keys.count(key) == 1);
    }
}

TEST_CASE("rows say type, unit, default and range", "[setup][reference]") {
    const std::vector<KeyRow> rows = setup::key_reference();
    const KeyRow& bore = row(rows, "damper.bore");
    CHECK(bore.type == "length");
    CHECK(bore.unit == "mm");
    CHECK(bore.range == "more than 0, at most 300 mm");
    CHECK(bore.is_required);
    CHECK(row(rows, "oil.temperature").fallback == "40 C");
    CHECK(row(rows, "valves.base.compression.material.E").fallback == "206 GPa");
    CHECK(row(rows, "valves.base.compression.coverage").fallback == "from ports.arc, else 1");
    CHECK(row(rows, "damper.layout").type == "closed_cartridge | open_cartridge | monotube | twin_tube");
    CHECK(row(rows, "reservoir.gas_volume").kinds == std::vector<std::string>{"bladder", "gas_piston"});
    CHECK(row(rows, "support.legs").range == "1 to 2");
}

TEST_CASE("every default of the reference lies in its range when it is written out", "[setup][reference]") {
    for (const KeyRow& r : setup::key_reference()) {
        if (r.unit.empty() || r.fallback.empty() || r.fallback.find(r.unit) == std::string::npos) continue;
        // Reservoir and valve keys need their surroundings; the demo fork's defaults are written out
        // elsewhere.
        if (!r.kinds.empty() || r.key.starts_with("valves.")) continue;
        INFO("key: " << r.key);
        CHECK_NOTHROW(read_example({{r.key, r.fallback}}));
    }
}
