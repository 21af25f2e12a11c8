#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/core/findings.hpp>

#include <algorithm>
#include <string>

using namespace valve;
using damper::Place;

namespace {

Findings with(void (*change)(damper::SetUp&)) {
    damper::SetUp setup = samples::fork();
    change(setup);
    return check(setup);
}

/// The message of the error for `key`; fails the test if there is none.
std::string error(const Findings& findings, const std::string& key) {
    const auto found = std::find_if(findings.begin(), findings.end(), [&](const Finding& one) {
        return one.key == key && one.severity == Finding::Severity::error;
    });
    INFO("key " << key);
    REQUIRE(found != findings.end());
    return found->message;
}

} // namespace

TEST_CASE("sound set-ups give no findings", "[damper][check]") {
    CHECK(check(samples::fork()).empty());
    damper::SetUp shock = samples::shock();
    CHECK(check(shock).empty());
}

TEST_CASE("a base valve may be wider than the bore, a piston valve not", "[damper][check]") {
    // The samples' base seat is 25 mm across in a bore of 25 mm, its shim 26 mm.
    CHECK(first_error(check(samples::fork())) == nullptr);
    const Findings findings = with([](damper::SetUp& setup) {
        setup.valves[Place::piston_rebound] = samples::valve_of(4, 11e-6, 25e-3, 27e-3);
    });
    CHECK_THAT(error(findings, "valves.piston.rebound.seat.outer"),
               contains_text("26 mm across") && contains_text("25 mm"));
    CHECK_THAT(error(findings, "valves.piston.rebound.shims"), contains_text("27 mm across"));
}

TEST_CASE("tubes, rods and rings that cannot be are refused", "[damper][check]") {
    CHECK_THAT(error(with([](damper::SetUp& setup) { setup.cartridge.rod = 25e-3; }), "damper.rod"),
               contains_text("25 mm"));
    error(with([](damper::SetUp& setup) { setup.cartridge.travel = 0.0; }), "damper.travel");
    error(with([](damper::SetUp& setup) { setup.cartridge.dead_length_C = -1.0; }), "damper.dead_length.C");
    error(with([](damper::SetUp& setup) { setup.cartridge.ring_leak->length = 0.0; }),
          "damper.ring_leak.length");
    error(with([](damper::SetUp& setup) { setup.cartridge.ring_leak->gap = 1e-3; }), "damper.ring_leak.gap");
    error(with([](damper::SetUp& setup) { setup.cartridge.ring_leak->eccentricity = 1.1; }),
          "damper.ring_leak.eccentricity");
}

TEST_CASE("ports larger than their piston are refused", "[damper][check]") {
    const Findings findings =
        with([](damper::SetUp& setup) { setup.valves[Place::piston_rebound]->ports.count = 50; });
    CHECK_THAT(error(findings, "valves"), contains_text("598 mm2") && contains_text("490.9 mm2"));
}

TEST_CASE("a reservoir that fills up within the travel says where", "[damper][check]") {
    const Findings findings = with([](damper::SetUp& setup) { setup.reservoir.stroke = 30e-3; });
    CHECK_THAT(error(findings, "reservoir"), contains_text("full at 270 mm of the 300 mm travel"));
    error(with([](damper::SetUp& setup) { setup.reservoir.diameter = 0.0; }), "reservoir.diameter");
    error(with([](damper::SetUp& setup) { setup.reservoir.kind = damper::ReservoirKind::bladder; }),
          "reservoir.gas_volume");
}

TEST_CASE("layouts and reservoirs that do not go together are refused", "[damper][check]") {
    using damper::Layout;
    using damper::ReservoirKind;
    error(with([](damper::SetUp& setup) { setup.reservoir.kind = ReservoirKind::leg; }), "reservoir.kind");
    error(with([](damper::SetUp& setup) { setup.cartridge.layout = Layout::open_cartridge; }),
          "reservoir.kind");
    error(with([](damper::SetUp& setup) { setup.cartridge.layout = Layout::twin_tube; }), "reservoir.kind");
    const Findings open = with([](damper::SetUp& setup) {
        setup.cartridge.layout = Layout::open_cartridge;
        setup.reservoir = {.kind = ReservoirKind::leg};
    });
    CHECK(first_error(open) == nullptr);
    error(with([](damper::SetUp& setup) {
              setup.cartridge.layout = Layout::open_cartridge;
              setup.reservoir = {.kind = ReservoirKind::leg};
              setup.support.reset();
          }),
          "reservoir.kind");
    error(with([](damper::SetUp& setup) { setup.support->leg->oil_volume = 2e-3; }), "support.leg.oil");
}

TEST_CASE("missing valves are warned of", "[damper][check]") {
    const Findings findings = with([](damper::SetUp& setup) { setup.valves[Place::base_refill].reset(); });
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].severity == Finding::Severity::warning);
    CHECK_THAT(findings[0].message, contains_text("there is no base.refill"));
}

TEST_CASE("findings of oil and valves carry the whole key", "[damper][check]") {
    error(with([](damper::SetUp& setup) { setup.oil.density_15 = 0.0; }), "oil.density");
    error(with([](damper::SetUp& setup) { setup.valves[Place::base_compression]->ports.count = 0; }),
          "valves.base.compression.ports.count");
    error(
        with([](damper::SetUp& setup) { setup.valves[Place::piston_rebound]->bleed = samples::needle(25); }),
        "valves.piston.rebound.bleed.needle.clicks");
    error(with([](damper::SetUp& setup) { setup.valves[Place::piston_rebound]->stack.shims.clear(); }),
          "valves.piston.rebound.shims");
}

TEST_CASE("a support that pushes with twenty times the weight gets a question", "[damper][check]") {
    const auto asked = [](double rate, bool has_load) {
        damper::SetUp setup = samples::fork();
        setup.support->stop = damper::EndSpring{rate, 80e-3};
        if (has_load)
            setup.support->load = damper::Load{
                .sprung_mass = 90.0, .rider_mass = 85.0, .rider_share = 0.5, .rake = 0.4, .motion_ratio = {}};
        return check(setup);
    };
    CHECK(asked(50e3, true).empty());
    const Findings huge = asked(20e6, true); // 20,000 N/mm over 80 mm: 1.6 MN
    REQUIRE(huge.size() == 1);
    CHECK(huge[0].severity == Finding::Severity::warning);
    CHECK(huge[0].key == "support.stop.rate");
    CHECK_THAT(huge[0].message, contains_text("times the weight on the wheel"));
    CHECK_THAT(asked(20e6, false).at(0).message, contains_text("the weight of 250 kg"));
}
