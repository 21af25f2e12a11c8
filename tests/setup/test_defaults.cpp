#include <setup/files.hpp>
#include <support/catch.hpp>
#include <support/demos.hpp>
#include <valve/setup/detail/node.hpp>
#include <valve/setup/parameter.hpp>

#include <algorithm>
#include <set>

using namespace valve;
using setup::Parameter;

namespace {

/// What the reference calls the keys of every valve.
const std::string any_valve = "valves.base.compression.";

/// `key` of the reference as it stands in a file: once, or once for each valve of `unit`.
std::vector<std::string> in_file(const std::string& key, const damper::SetUp& unit) {
    if (!key.starts_with(any_valve)) return {key};
    std::vector<std::string> keys;
    for (const damper::Place place : damper::all_places)
        if (unit.valves[place])
            keys.push_back("valves." + std::string(name(place)) + "." + key.substr(any_valve.size()));
    return keys;
}

/// The map that a dotted key stands in; empty for the root.
std::string map_of(const std::string& key) {
    const std::size_t dot = key.rfind('.');
    return dot == std::string::npos ? "" : key.substr(0, dot);
}

/// Whether the reader has use for `key`, its map being there or having defaults without being there.
bool counts(const setup::Document& document, const std::string& key) {
    const auto given = [&](const std::string& other) {
        return setup::find_at(document.root(), other) != nullptr;
    };
    const std::string map = map_of(key);
    const std::string last = key.substr(map.empty() ? 0 : map.size() + 1);
    if (map.ends_with(".discharge") || map == "damper.dead_length") return true;
    if (map.ends_with(".material")) return !given(map_of(map) + ".disc"); // a disc does not bend
    if (!map.empty() && !given(map)) return false;
    if (last == "curtain_length") return false; // no number of its own: the ring at seat.inner
    if (last == "oil") return !given(map + ".level");
    if (last == "edge" || last == "bore" || last == "clamp")
        return given(map + ".float") && !given(map + ".disc");
    if (last == "shim_friction") return !given(map + ".disc");
    if (last == "at" || last == "spring_at" || last == "stop_at") return !given(map_of(map) + ".disc");
    if (last == "count") return given(map + ".hole");
    return true;
}

} // namespace

TEST_CASE("no default is silent: every key that a demo leaves out is told with its value",
          "[setup][defaults]") {
    const std::vector<Parameter> reference = setup::parameters();
    std::size_t told = 0;
    for (const std::string& path : demo_files()) {
        const setup::Document document = setup::Document::load(path);
        const setup::Reading reading = setup::read(document);
        std::set<std::string> listed;
        for (const setup::DefaultUsed& used : reading.defaults)
            listed.insert(used.key);
        const std::string kind = setup::find_at(document.root(), "reservoir.kind")->value.text;
        for (const Parameter& row : reference) {
            if (row.fallback.empty() || row.key.starts_with("valve.")) continue; // a valve alone
            if (!row.kinds.empty() && std::count(row.kinds.begin(), row.kinds.end(), kind) == 0) continue;
            for (const std::string& key : in_file(row.key, *reading.unit)) {
                if (!counts(document, key)) continue;
                CAPTURE(path, key);
                const bool is_given = setup::find_at(document.root(), key) != nullptr;
                CHECK(is_given != (listed.count(key) == 1));
                if (!is_given) ++told;
            }
        }
    }
    CHECK(told > 500);
}
