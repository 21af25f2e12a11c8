#include <setup/files.hpp>
#include <setup/written.hpp>
#include <support/catch.hpp>
#include <valve/core/error.hpp>
#include <valve/core/units.hpp>
#include <valve/setup/detail/node.hpp>
#include <valve/setup/parameter.hpp>

#include <algorithm>
#include <set>

using namespace valve;
using setup::Parameter;

namespace {

const Parameter& row(const std::vector<Parameter>& rows, const std::string& key) {
    const auto found =
        std::find_if(rows.begin(), rows.end(), [&](const Parameter& r) { return r.key == key; });
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
    const std::vector<Parameter> rows = setup::parameters();
    std::set<std::string> keys;
    for (const Parameter& r : rows) {
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
    const std::vector<Parameter> rows = setup::parameters();
    const Parameter& bore = row(rows, "damper.bore");
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
    for (const Parameter& r : setup::parameters()) {
        if (r.unit.empty() || r.fallback.empty() || r.fallback.find(r.unit) == std::string::npos) continue;
        // Reservoir and valve keys need their surroundings; the demo fork's defaults are written out
        // elsewhere.
        if (!r.kinds.empty() || r.key.starts_with("valves.")) continue;
        INFO("key: " << r.key);
        // A vehicle has a key that it cannot do without.
        CHECK_NOTHROW(read_example({{"vehicle.unsprung", "16 kg"}, {r.key, r.fallback}}));
    }
}

namespace {

using setup::Document;

/// Documents that between them hold every key, invented.
std::vector<Document> documents_of_all_keys() {
    const std::string valve = "valves.base.compression";
    const setup::Override cup{"damper.end_of_stroke",
                              "{plug: 10 mm, length: 30 mm, gap: 0.2 mm, hole: 1 mm, ways: one}"};
    const setup::Override top{"damper.top_out", "{plug: 15 mm, length: 10 mm, gap: 0.1 mm, hole: 1 mm}"};
    const setup::Override floated{
        valve + ".float",
        "{travel: 0.4 mm, rate: 2 N/mm, preload: 1 N, adjuster: {turns: 1, per_turn: 0.5 mm, "
        "of: 4}, rests_on: seat}"};
    const std::string column = "{tube: 48 mm, inside: 12 mm, length: 460 mm, spring_volume: 75 ml, "
                               "spring_length: 440 mm}";
    std::vector<Document> list;
    list.push_back(samples::fork_document({cup,
                                           top,
                                           floated,
                                           {"reservoir.capacity", "40 ml"},
                                           {"damper.dead_length", "{C: 25 mm, R: 35 mm}"},
                                           {valve + ".material", "{yield: 1700 MPa, fatigue: 900 MPa}"},
                                           {valve + ".discharge", "{port: 0.72}"},
                                           {"note", "n"},
                                           {"result", "r"},
                                           {valve + ".curtain_length", "60 mm"},
                                           {"support.top_out", "{rate: 3 N/mm, length: 10 mm}"},
                                           {"support.stop", "{rate: 150 N/mm, length: 8 mm}"},
                                           {"support.spring.second", "{rate: 6 N/mm, from: 100 mm}"},
                                           {"support.leg.column", column}}));
    list.push_back(
        samples::fork_document({{valve + ".float", "{sleeve: 1.2 mm, rate: 2 N/mm, preload: 1 N}"},
                                {valve + ".ports", "{count: 4, diameter: 4 mm}"},
                                {valve + ".bleed", "{hole: 1 mm, count: 2}"},
                                {"support.leg.oil", "null"},
                                {"support.leg.column", column},
                                {"support.leg.level", "{depth: 440 mm, fork: extended, spring: in}"},
                                {"reservoir", "{kind: bladder, gas_volume: 100 ml, gas_pressure: 2 bar}"}}));
    list.push_back(
        samples::fork_document({{valve + ".ports", "{count: 3, inner: 13 mm, outer: 21 mm, arc: 60 deg}"},
                                {valve + ".bleed", "{area: 0.5 mm2, depth: 0.15 mm}"},
                                {valve + ".shims", "null"},
                                {valve + ".disc", "{diameter: 24 mm, mass: 8 g}"},
                                {valve + ".float", "{travel: 1 mm, rate: 2 N/mm, preload: 1 N}"},
                                {"support.leg", "null"},
                                {"support.load.rake", "null"},
                                {"support.load.motion_ratio", "0.4"}}));
    list.push_back(
        samples::fork_document({{"support.load.rake", "null"},
                                {"vehicle", "{unsprung: 19 kg, tyre: {rate: 150 N/mm, damping: 300 N s/m, "
                                            "radius: 0.33 m}, linkage: {wheel_travel: [0 mm, 100 mm], "
                                            "travel: [0 mm, 40 mm]}}"}}));
    list.push_back(
        Document::parse("format: 1\nvalve: {zone: {inner: 12, outer: 19}, seat: {inner: 19, outer: 20}, "
                        "clamp: 9, shims: [21 x 0.15]}\n",
                        "valve.yaml"));
    return list;
}

/// Keys that a document does not deal with itself.
bool is_edited(const std::string& key) {
    return key != "format" && key != "from" && key != "change";
}

} // namespace

TEST_CASE("every key can be read from a set-up and written back", "[setup][parameter]") {
    const std::vector<Document> documents = documents_of_all_keys();
    std::size_t numbers = 0;
    for (const Parameter& parameter : setup::parameters()) {
        if (!is_edited(parameter.key)) continue;
        CAPTURE(parameter.key);
        bool is_held = false;
        for (const Document& document : documents) {
            const std::optional<setup::Value> value = parameter.get(document);
            if (!value) continue;
            is_held = true;
            CAPTURE(document.path(), value->text);
            const setup::Reading before = setup::read(document);
            const bool has_own_form = parameter.key == "support.breakaway"; // 0 follows from friction
            const Document same = parameter.set(document, value->text);
            const setup::Reading after = setup::read(same);
            if (!has_own_form || value->is_written) {
                CHECK(after.unit == before.unit);
                CHECK(after.valve == before.valve);
            }
            const std::optional<setup::Value> again = parameter.get(same);
            REQUIRE(again);
            CHECK(again->text == value->text);
            CHECK(again->is_written);
            CHECK(again->number == value->number);
            if (!value->number) continue;
            ++numbers;
            CHECK(parameter.get(parameter.set(document, *value->number))->number == value->number);
            if (parameter.unit.empty()) continue;
            CHECK_THAT(value->text, contains_text(parameter.unit));
            CHECK_THAT(parse_quantity(value->text, parameter.unit), WithinRel(*value->number, 1e-15));
        }
        CHECK(is_held);
    }
    CHECK(numbers > 150);
}

TEST_CASE("an edit is checked against the declaration of its key", "[setup][parameter]") {
    const Document fork = samples::fork_document();
    CHECK(setup::read(fork.with("damper.bore", "1 in")).unit->cartridge.bore == 25.4e-3);
    CHECK_THROWS_WITH(fork.with("damper.bore", "25 bar"),
                      contains_text("edit: error: damper.bore: '25 bar'"));
    CHECK_THROWS_WITH(fork.with("damper.bore", "400 mm"),
                      contains_text("out of range; expected more than 0, at most 300 mm"));
    CHECK_THROWS_WITH(fork.with("damper.bore", 0.4), contains_text("out of range"));
    CHECK_THROWS_WITH(fork.with("valves.base.compression.ports.count", 2.5), contains_text("whole number"));
    CHECK_THROWS_WITH(fork.with("damper.layout", "monotub"), contains_text("did you mean 'monotube'?"));
    CHECK_THROWS_WITH(fork.with("damper.layout", "[a]"), contains_text("expected closed_cartridge"));
    CHECK_THROWS_AS(fork.with("damper.layout", 1.0), std::invalid_argument);
    CHECK_THROWS_WITH(fork.with("from", "x.yaml"), contains_text("cannot be changed"));
    CHECK_FALSE(fork.get("damper.end_of_stroke.gap"));
    CHECK_FALSE(fork.without("damper.ring_leak").get("damper.ring_leak.gap"));
    CHECK(fork.without("damper.end_of_stroke").get("damper.bore")); // what is not there may go
}

TEST_CASE("a key that no file may hold names the nearest, of any valve", "[setup][parameter]") {
    const Document fork = samples::fork_document();
    CHECK_THROWS_WITH(fork.get("damper.boer"),
                      contains_text("damper.boer: no set-up has this key; did you mean "
                                    "'damper.bore'?"));
    CHECK_THROWS_WITH(fork.with("valves.piston.rebound.camp", "9 mm"),
                      contains_text("did you mean 'valves.piston.rebound.clamp'?"));
    CHECK_THROWS_WITH(fork.get("base.refill.float.rat"),
                      contains_text("did you mean 'valves.base.refill.float.rate'?"));
    CHECK_THROWS_AS(setup::parameter("valves.base.rebound.clamp"), InputError);
    CHECK(setup::parameter("oil.viscosity.40 C").unit == "mm2/s");
    CHECK(setup::parameter("valve.clamp").unit == "mm");
}

TEST_CASE("names as they are printed can be typed back", "[setup][parameter]") {
    const Document fork = samples::fork_document({{"piston.compression.float.rate", "3 N/mm"}});
    CHECK(fork.get("piston.compression.float.rate")->number == 3000.0);
    CHECK(fork.get("valves.piston.compression.float.rate")->text == "3 N/mm");
    CHECK(setup::parameter("base.refill.clamp").key == "valves.base.refill.clamp");
    CHECK(setup::full_key("oil.viscosity.37.8 C") == "oil.viscosity.37.8 C");
    CHECK(setup::bare_unit("base.refill.float.rate") == "N/mm");
}
