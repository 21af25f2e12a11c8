#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/core/constants.hpp>
#include <valve/core/findings.hpp>
#include <valve/damper/support.hpp>

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <string>

using namespace valve;
using damper::Place;

namespace {

Findings with(void (*change)(damper::SetUp&)) {
    damper::SetUp setup = samples::fork();
    change(setup);
    return check(setup);
}

/// How often `key` is told of.
std::ptrdiff_t times_told(const Findings& findings, const std::string& key, Finding::Severity severity) {
    return std::count_if(findings.begin(), findings.end(),
                         [&](const Finding& one) { return one.key == key && one.severity == severity; });
}

/// The fork with a cup at either end of the stroke.
damper::SetUp cupped() {
    damper::SetUp setup = samples::fork();
    const damper::EndCup cup{
        .plug = 18e-3, .length = 30e-3, .gap = 0.2e-3, .entry_gap = 0.2e-3, .hole = 2e-3};
    setup.cartridge.end_of_stroke = setup.cartridge.top_out = cup;
    return setup;
}

/// The fork with a spring of two rates, a stop and the wheel's load.
damper::SetUp loaded() {
    damper::SetUp setup = samples::fork();
    setup.support->spring = damper::MainSpring{.rate = 5e3, .preload = 5e-3};
    setup.support->stop = damper::EndSpring{50e3, 80e-3};
    setup.support->load = damper::Load{
        .sprung_mass = 90.0, .rider_mass = 85.0, .rider_share = 0.5, .rake = 0.4, .motion_ratio = {}};
    return setup;
}

/// What is found once a number passes its limit; `shift` makes it, by how far it is beyond (lengths by [m]).
struct Limit {
    const char* key;
    const char* what;
    damper::SetUp setup;
    void (*shift)(damper::SetUp&, double beyond);
};

/// Found once a millionth beyond the limit, and not a millionth within.
void check_limits(const std::vector<Limit>& limits, Finding::Severity severity) {
    for (const Limit& limit : limits) {
        INFO(limit.key << ": " << limit.what);
        for (const double beyond : {-1e-6, 1e-6}) {
            damper::SetUp setup = limit.setup;
            limit.shift(setup, beyond);
            CHECK(times_told(check(setup), limit.key, severity) == (beyond > 0.0 ? 1 : 0));
        }
    }
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

TEST_CASE("each limit of a damper's geometry is held on both sides of it", "[damper][check]") {
    check_limits(
        {{"damper.rod", "as thick as the bore", samples::fork(),
          [](damper::SetUp& s, double beyond) { s.cartridge.rod = s.cartridge.bore + beyond; }},
         {"damper.ring_leak.gap", "2 % of the bore of 25 mm", samples::fork(),
          [](damper::SetUp& s, double beyond) { s.cartridge.ring_leak->gap = 0.5e-3 + beyond; }},
         {"damper.end_of_stroke.gap", "5 % of the plug", cupped(),
          [](damper::SetUp& s, double beyond) {
              s.cartridge.end_of_stroke->entry_gap = 2e-3;
              s.cartridge.end_of_stroke->gap = 0.05 * 18e-3 + beyond;
          }},
         {"damper.end_of_stroke.gap", "none, and no hole", cupped(),
          [](damper::SetUp& s, double beyond) {
              s.cartridge.end_of_stroke->hole.reset();
              s.cartridge.end_of_stroke->gap = std::max(0.0, -beyond);
          }},
         {"damper.end_of_stroke.entry_gap", "less than the gap", cupped(),
          [](damper::SetUp& s, double beyond) { s.cartridge.end_of_stroke->entry_gap = 0.2e-3 - beyond; }},
         {"damper.end_of_stroke.plug", "no room in the bore of 25 mm", cupped(),
          [](damper::SetUp& s, double beyond) { s.cartridge.end_of_stroke->plug = 24.6e-3 + beyond; }},
         {"damper.top_out.plug", "no larger than the rod of 12 mm", cupped(),
          [](damper::SetUp& s, double beyond) { s.cartridge.top_out->plug = 12e-3 - beyond; }},
         {"damper.end_of_stroke.length", "longer than the travel", cupped(),
          [](damper::SetUp& s, double beyond) {
              s.cartridge.end_of_stroke->length = s.cartridge.travel + beyond;
          }},
         {"damper.top_out.length", "into the other cup", cupped(),
          [](damper::SetUp& s, double beyond) { s.cartridge.top_out->length = 0.27 + beyond; }},
         {"valves.piston.rebound.seat.outer", "beyond the bore", samples::fork(),
          [](damper::SetUp& s, double beyond) {
              stack::Stack& stack = s.valves[Place::piston_rebound]->stack;
              stack.shims.front().outer_radius = 12.5e-3; // covers it
              stack.seat.outer_radius = 12.5e-3 + beyond;
          }},
         {"valves.piston.rebound.shims", "beyond the bore", samples::fork(),
          [](damper::SetUp& s, double beyond) {
              s.valves[Place::piston_rebound]->stack.shims.front().outer_radius = 12.5e-3 + beyond;
          }},
         {"valves.piston.rebound.disc.diameter", "beyond the bore", samples::fork(),
          [](damper::SetUp& s, double beyond) {
              s.valves[Place::piston_rebound]->stack.disc = stack::Disc{12.5e-3 + beyond, 1e-3};
          }},
         {"valves", "ports of 490.87 mm² in all, as large as the piston", samples::fork(),
          [](damper::SetUp& s, double beyond) {
              s.valves[Place::piston_compression].reset();
              s.valves[Place::piston_rebound]->ports = {
                  .count = 4, .area_each = std::numbers::pi / 16.0 * 25e-3 * 25e-3 * (1.0 + beyond)};
          }},
         {"reservoir", "full before the end of the travel", samples::fork(),
          [](damper::SetUp& s, double beyond) {
              s.reservoir.stroke = 0.3 * (12.0 * 12.0) / (36.0 * 36.0) - beyond;
          }},
         {"support.leg.diameter", "within the bore", samples::fork(),
          [](damper::SetUp& s, double beyond) { s.support->leg->diameter = 25e-3 - beyond; }},
         {"support.breakaway", "less than the friction", loaded(),
          [](damper::SetUp& s, double beyond) {
              s.support->friction = 20.0;
              s.support->breakaway = 20.0 - beyond;
          }},
         {"support.stop.length", "longer than the travel", loaded(),
          [](damper::SetUp& s, double beyond) { s.support->stop->length = 0.3 + beyond; }},
         {"support.spring.second.from", "not within the travel", loaded(),
          [](damper::SetUp& s, double beyond) {
              s.support->spring->second = damper::SecondRate{.rate = 9e3, .from = 0.3 + beyond};
          }}},
        Finding::Severity::error);

    check_limits(
        {{"damper.travel", "less than any damper's", samples::fork(),
          [](damper::SetUp& s, double beyond) { s.cartridge.travel = 5e-3 - beyond; }},
         {"support.spring.second.rate", "a coil that grows softer", loaded(),
          [](damper::SetUp& s, double beyond) {
              s.support->spring->second = damper::SecondRate{.rate = 5e3 - beyond, .from = 0.1};
          }},
         {"support.load.linkage.travel", "a table that ends 5 % short", loaded(),
          [](damper::SetUp& s, double beyond) {
              s.support->load->rake.reset();
              s.support->load->linkage = damper::LinkageTable{{0.0, 0.6}, {0.0, 0.95 * 0.3 - beyond}};
          }},
         {"support.load.linkage.travel", "a table that goes 5 % too far", loaded(),
          [](damper::SetUp& s, double beyond) {
              s.support->load->rake.reset();
              s.support->load->linkage = damper::LinkageTable{{0.0, 0.6}, {0.0, 1.05 * 0.3 + beyond}};
          }}},
        Finding::Severity::warning);
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

    struct Missing {
        Place place;
        const char* consequence;
    };
    for (const Missing& one :
         {Missing{Place::base_refill, "only bleeds let the oil come back from the reservoir"},
          Missing{Place::base_compression, "only bleeds let the rod's oil out to the reservoir"},
          Missing{Place::piston_compression, "in compression only bleeds and ring leak"},
          Missing{Place::piston_rebound, "on rebound only bleeds and ring leak"}}) {
        damper::SetUp setup = samples::fork();
        setup.valves[one.place].reset();
        const Findings told = check(setup);
        REQUIRE(told.size() == 1);
        CHECK(told[0].severity == Finding::Severity::warning);
        CHECK_THAT(told[0].message, contains_text(one.consequence));
    }
    // Without any base the layout asks, and that of a monotube has none.
    damper::SetUp bare = samples::fork();
    bare.valves[Place::base_compression].reset();
    bare.valves[Place::base_refill].reset();
    const Findings told = check(bare);
    REQUIRE(told.size() == 1);
    CHECK_THAT(told[0].message, contains_text("there is no base valve"));
    bare.cartridge.layout = damper::Layout::monotube;
    CHECK(check(bare).empty());
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

    // From twenty weights on, of the load or of 250 kg: the stop's rate that makes them, by hand.
    damper::SetUp without = samples::fork();
    const double others = damper::SupportLaw(without).at(0.3).force;
    for (const bool has_load : {true, false}) {
        const double weight = standard_gravity * (has_load ? (90.0 + 0.5 * 85.0) * std::cos(0.4) : 250.0);
        const double rate = (20.0 * weight - others) / 80e-3;
        CHECK(asked(0.9999 * rate, has_load).empty());
        CHECK(asked(1.0001 * rate, has_load).size() == 1);
    }
}

TEST_CASE("the question of a support's force names the part that pushes hardest", "[damper][check]") {
    const auto key = [](void (*change)(damper::SetUp&)) {
        damper::SetUp setup = loaded();
        change(setup);
        const Findings findings = check(setup);
        REQUIRE(findings.size() == 1);
        return findings[0].key;
    };
    CHECK(key([](damper::SetUp& s) { s.support->stop->rate = 5e6; }) == "support.stop.rate");
    CHECK(key([](damper::SetUp& s) { s.support->spring->rate = 2e5; }) == "support.spring.rate");
    CHECK(key([](damper::SetUp& s) { s.support->leg->oil_volume = 490e-6; }) == "support.leg.oil");
    // Where hardly any is usual: one in another unit, say.
    CHECK(key([](damper::SetUp& s) { s.support->leg->pressure = 30e5; }) == "support.leg.pressure");
    CHECK(key([](damper::SetUp& s) { s.reservoir.spring_rate = 5e7; }) == "reservoir");
}
