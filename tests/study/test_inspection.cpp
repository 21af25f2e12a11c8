#include <support/catch.hpp>
#include <valve/report/inspection.hpp>
#include <valve/study/inspection.hpp>

#include <algorithm>
#include <string>

using namespace valve;

namespace {

study::Inspection inspected(const std::vector<setup::Override>& overrides) {
    const std::string file = std::string(VALVE_SOURCE_DIR) + "/stacks/rally-shock.yaml"; // states no limits
    damper::LiftCache lifts;
    return study::inspection(file, setup::read(setup::Document::load(file, overrides)), lifts);
}

bool lacks(const study::Inspection& inspection, const std::string& key) {
    return std::any_of(
        inspection.absent.begin(), inspection.absent.end(),
        [&](const setup::DefaultUsed& part) { return part.key == key && part.value == "none"; });
}

} // namespace

TEST_CASE("what a file leaves out is listed as none, with the defaults", "[study]") {
    const study::Inspection whole = inspected({});
    CHECK_FALSE(lacks(whole, "damper.ring_leak"));
    const study::Inspection without = inspected(
        {{"damper.ring_leak", "null"}, {"valves.piston.rebound.bleed", "null"}, {"support.stop", "null"}});
    for (const char* key : {"damper.ring_leak", "valves.piston.rebound.bleed", "support.stop"}) {
        CHECK(lacks(without, key));
        CHECK_THAT(report::text(without), contains_text(key));
        CHECK_THAT(report::json(without).at("defaults").dump(), contains_text(key));
    }
    CHECK(lacks(inspected({{"support", "null"}}), "support"));
}

TEST_CASE("keys that count in time alone are named", "[study]") {
    std::string unused;
    const report::Json object = report::json(inspected({}));
    for (const report::Json& one : object.at("unused"))
        unused += one.get<std::string>() + " ";
    CHECK(unused == "oil.bulk_modulus oil.free_air damper.dead_length reservoir.mass ports.length disc.mass "
                    "material.density "
                    "shim_friction restitution ");
    std::string all = report::text(inspected({}));
    std::replace(all.begin(), all.end(), '\n', ' ');
    CHECK_THAT(all, contains_text("In time alone (cycle, ride) count oil.bulk_modulus, oil.free_air, "
                                  "damper.dead_length, ") &&
                        contains_text(", shim_friction and restitution; steady "));
}
