#include <setup/files.hpp>
#include <support/catch.hpp>
#include <valve/damper/leg_air.hpp>

#include <numbers>
#include <set>

using namespace valve;
using damper::Place;

namespace {

constexpr double rounding = 1e-15; // of a factor and of the literal it is compared with
constexpr double degree = std::numbers::pi / 180.0;

void check_value(double value, double expected) {
    CHECK_THAT(value, WithinRel(expected, rounding));
}

void check_shims(const std::vector<stack::Shim>& shims,
                 const std::vector<std::array<double, 2>>& radius_thickness) {
    REQUIRE(shims.size() == radius_thickness.size());
    for (std::size_t i = 0; i < shims.size(); ++i) {
        check_value(shims[i].outer_radius, radius_thickness[i][0]);
        check_value(shims[i].thickness, radius_thickness[i][1]);
        CHECK(shims[i].material == plate::Material{});
    }
}

void check_needle(const flow::Valve& valve, double seat) {
    REQUIRE(valve.bleed);
    const auto& needle = std::get<flow::Needle>(*valve.bleed);
    check_value(needle.seat_diameter, seat);
    check_value(needle.cone_angle, 20.0 * degree);
    check_value(needle.per_click, 0.06e-3);
    CHECK(needle.clicks == 10.0);
    CHECK(needle.range == 24.0);
}

void check_ring(const stack::Zone& zone, const stack::Seat& seat, double zone_inner, double inner,
                double outer) {
    check_value(zone.inner_radius, zone_inner);
    check_value(zone.outer_radius, inner);
    check_value(seat.inner_radius, inner);
    check_value(seat.outer_radius, outer);
}

} // namespace

// Values converted by hand from example.yaml: diameters halved, gauge pressures made absolute.
TEST_CASE("the demo fork is read value by value", "[setup][example]") {
    const setup::Reading reading = read_example();
    REQUIRE(reading.unit);
    CHECK_FALSE(reading.valve);
    REQUIRE(reading.warnings.size() == 4); // whether a recess joins the ports, of each valve
    for (const std::string& warning : reading.warnings)
        CHECK_THAT(warning, contains_text("are taken as joined by a recess"));
    CHECK(reading.title == "50 mm closed-cartridge fork, stony rally stage");
    const damper::SetUp& unit = *reading.unit;
    CHECK(unit.title == reading.title);

    CHECK(unit.oil.density_15 == 850.0);
    REQUIRE(unit.oil.viscosity.size() == 2);
    check_value(unit.oil.viscosity.begin()->first, 313.15);
    check_value(unit.oil.viscosity.begin()->second, 16e-6);
    check_value(unit.oil.viscosity.rbegin()->first, 373.15);
    check_value(unit.oil.viscosity.rbegin()->second, 3.9e-6);
    check_value(unit.oil.bulk_modulus, 1.4e9);
    check_value(unit.oil.free_air, 0.005);
    check_value(unit.oil.temperature, 313.15);
    CHECK(unit.oil.expansion == 7.5e-4);
    CHECK(unit.oil.cavitation_pressure == 20e3);

    CHECK(unit.cartridge.layout == damper::Layout::closed_cartridge);
    check_value(unit.cartridge.bore, 0.025);
    check_value(unit.cartridge.rod, 0.012);
    check_value(unit.cartridge.travel, 0.300);
    REQUIRE(unit.cartridge.ring_leak);
    check_value(unit.cartridge.ring_leak->gap, 0.02e-3);
    check_value(unit.cartridge.ring_leak->length, 0.008);
    CHECK(unit.cartridge.ring_leak->eccentricity == 0.0);
    check_value(unit.cartridge.dead_length_C, 0.030);
    check_value(unit.cartridge.dead_length_R, 0.030);

    CHECK(unit.reservoir.kind == damper::ReservoirKind::spring_piston);
    check_value(unit.reservoir.diameter, 0.036);
    check_value(unit.reservoir.spring_rate, 1800.0);
    CHECK(unit.reservoir.preload == 40.0);
    CHECK(unit.reservoir.friction == 18.0);
    REQUIRE(unit.reservoir.stroke);
    check_value(*unit.reservoir.stroke, 0.045);
    CHECK(unit.reservoir.back_pressure == 101325.0);
    CHECK_FALSE(unit.reservoir.capacity);

    REQUIRE(unit.support);
    REQUIRE(unit.support->spring);
    check_value(unit.support->spring->rate, 4800.0);
    check_value(unit.support->spring->preload, 0.006);
    REQUIRE(unit.support->leg);
    check_value(unit.support->leg->chamber_volume, 1.05e-3);
    check_value(unit.support->leg->oil_volume, 0.365e-3);
    check_value(unit.support->leg->diameter, 0.050);
    CHECK(unit.support->leg->pressure == 101325.0);
    CHECK(unit.support->leg->exponent == 1.3);
    CHECK(unit.support->friction == 25.0);
    CHECK(unit.support->legs == 2);
}

TEST_CASE("the demo fork's clamped stacks are read value by value", "[setup][example]") {
    const damper::SetUp unit = *read_example().unit;
    REQUIRE(unit.valves[Place::base_compression]);
    const flow::Valve& base = *unit.valves[Place::base_compression];
    CHECK(base.ports.count == 4);
    check_value(base.ports.area_each, 13e-6);
    check_ring(base.stack.zone, base.stack.seat, 7e-3, 11e-3, 11.5e-3);
    check_value(base.stack.seat.height, 0.05e-3);
    check_value(base.stack.clamp_radius, 6e-3);
    check_shims(base.stack.shims, {{12e-3, 0.15e-3},
                                   {12e-3, 0.15e-3},
                                   {12e-3, 0.15e-3},
                                   {12e-3, 0.15e-3},
                                   {12e-3, 0.15e-3},
                                   {12e-3, 0.15e-3},
                                   {11e-3, 0.15e-3},
                                   {10e-3, 0.15e-3},
                                   {9e-3, 0.15e-3},
                                   {8e-3, 0.20e-3},
                                   {7e-3, 0.20e-3}});
    check_needle(base, 3e-3);
    CHECK(base.stack.edge == stack::InnerEdge::clamped);
    CHECK_FALSE(base.stack.floating);
    CHECK_FALSE(base.stack.disc);
    CHECK_FALSE(base.curtain_length);
    CHECK(base.stack.coverage == 1.0);
    CHECK(base.jet_force == 0.3);
    CHECK(base.discharge == flow::Discharge{});

    REQUIRE(unit.valves[Place::piston_rebound]);
    const flow::Valve& rebound = *unit.valves[Place::piston_rebound];
    CHECK(rebound.ports.count == 4);
    check_value(rebound.ports.area_each, 11e-6);
    check_ring(rebound.stack.zone, rebound.stack.seat, 6e-3, 9.5e-3, 10e-3);
    CHECK(rebound.stack.seat.height == 0.0);
    check_value(rebound.stack.clamp_radius, 4.5e-3);
    check_shims(rebound.stack.shims, {{10.5e-3, 0.15e-3},
                                      {10.5e-3, 0.15e-3},
                                      {9.5e-3, 0.15e-3},
                                      {8.5e-3, 0.15e-3},
                                      {7.5e-3, 0.15e-3},
                                      {6.5e-3, 0.15e-3},
                                      {5.5e-3, 0.20e-3}});
    check_needle(rebound, 2.5e-3);
}

TEST_CASE("the demo fork's floated stacks are read value by value", "[setup][example]") {
    const damper::SetUp unit = *read_example().unit;
    REQUIRE(unit.valves[Place::base_refill]);
    const flow::Valve& refill = *unit.valves[Place::base_refill];
    CHECK(refill.ports.count == 4);
    check_value(refill.ports.area_each, 24e-6);
    check_ring(refill.stack.zone, refill.stack.seat, 9e-3, 12e-3, 12.5e-3);
    check_shims(refill.stack.shims, {{13e-3, 0.20e-3}});
    REQUIRE(refill.stack.floating);
    check_value(refill.stack.floating->travel, 1.2e-3);
    check_value(refill.stack.floating->spring_rate, 800.0);
    CHECK(refill.stack.floating->preload == 2.0);
    check_value(refill.stack.floating->ring_radius, 9e-3);
    check_value(refill.stack.floating->spring_radius, 9e-3);
    check_value(refill.stack.floating->stop_radius, 9e-3);
    CHECK(refill.stack.floating->rests_on == stack::RestsOn::hub);
    check_value(refill.stack.clamp_radius, 9e-3);
    check_value(refill.stack.bore_radius, 9e-3);
    CHECK(refill.stack.edge == stack::InnerEdge::free);
    CHECK_FALSE(refill.bleed);

    REQUIRE(unit.valves[Place::piston_compression]);
    const flow::Valve& mid = *unit.valves[Place::piston_compression];
    CHECK(mid.ports.count == 3);
    check_value(mid.ports.area_each, 16e-6);
    check_ring(mid.stack.zone, mid.stack.seat, 5.5e-3, 9.5e-3, 10e-3);
    check_shims(mid.stack.shims, {{10.5e-3, 0.15e-3},
                                  {10.5e-3, 0.15e-3},
                                  {10.5e-3, 0.15e-3},
                                  {10.5e-3, 0.15e-3},
                                  {9.5e-3, 0.15e-3},
                                  {8.5e-3, 0.15e-3},
                                  {7.5e-3, 0.15e-3},
                                  {6e-3, 0.20e-3}});
    REQUIRE(mid.stack.floating);
    check_value(mid.stack.floating->travel, 0.55e-3);
    check_value(mid.stack.floating->spring_rate, 1200.0);
    CHECK(mid.stack.floating->preload == 1.0);
    check_value(mid.stack.floating->ring_radius, 4.5e-3);
    check_value(mid.stack.clamp_radius, 4.5e-3);
}

TEST_CASE("defaults are those used, and can be written into the file", "[setup][example]") {
    const setup::Reading reading = read_example();
    CHECK(default_of(reading, "oil.expansion") == "0.00075 1/K");
    CHECK(default_of(reading, "oil.cavitation_pressure") == "0.2 bar");
    CHECK(default_of(reading, "damper.ring_leak.eccentricity") == "0");
    CHECK(default_of(reading, "reservoir.back_pressure") == "0 bar");
    CHECK(default_of(reading, "support.leg.pressure") == "0 bar");
    CHECK(default_of(reading, "valves.base.refill.seat.height") == "0 mm");
    CHECK(default_of(reading, "valves.base.refill.clamp") == "18 mm");
    CHECK(default_of(reading, "valves.base.refill.edge") == "free");
    CHECK(default_of(reading, "valves.piston.compression.float.at") == "9 mm");
    CHECK(default_of(reading, "valves.piston.compression.float.rests_on") == "hub");
    CHECK(default_of(reading, "valves.piston.rebound.material.E") == "206 GPa");
    CHECK(default_of(reading, "valves.piston.rebound.discharge.port_transition") == "1000");
    CHECK(default_of(reading, "damper.dead_length.C").empty()); // given in the file

    // The file with all of them written out says the same and leaves nothing to default.
    std::vector<setup::Override> overrides;
    std::set<std::string> keys;
    for (const setup::DefaultUsed& used : reading.defaults) {
        overrides.push_back({used.key, used.value});
        CHECK(keys.insert(used.key).second);
    }
    const setup::Reading written = read_example(overrides);
    CHECK(written.unit == reading.unit);
    CHECK(written.defaults.empty());
}

TEST_CASE("title, note and result are kept; a title defaults to the file's name", "[setup][example]") {
    const setup::Reading named = read_example({{"note", "tried on stones"}, {"result", "'softer: yes'"}});
    CHECK(named.note == "tried on stones");
    CHECK(named.result == "softer: yes");
    const setup::Reading unnamed = read_example({{"title", "null"}, {"note", "\"\""}});
    CHECK(unnamed.title == "example.yaml");
    CHECK(default_of(unnamed, "title") == "example.yaml");
}

TEST_CASE("reservoirs of each kind read their own keys", "[setup][example]") {
    const auto read = [](const std::string& reservoir, std::vector<setup::Override> more = {}) {
        more.push_back({"reservoir", reservoir});
        return read_example(more);
    };
    const setup::Reading bladder = read("{kind: bladder, gas_volume: 120 ml, gas_pressure: 1.5 bar}");
    CHECK(bladder.unit->reservoir.kind == damper::ReservoirKind::bladder);
    check_value(bladder.unit->reservoir.gas_volume, 120e-6);
    check_value(bladder.unit->reservoir.gas_pressure, 101325.0 + 1.5e5);
    CHECK(bladder.unit->reservoir.exponent == 1.4);
    CHECK(default_of(bladder, "reservoir.exponent") == "1.4");
    CHECK(default_of(bladder, "reservoir.friction").empty()); // a bladder has none

    const setup::Reading piston =
        read("{kind: gas_piston, gas_volume: 120 ml, gas_pressure: 20 psi, diameter: 40 mm, "
             "exponent: 1.2, capacity: 90 ml}",
             {{"damper.layout", "monotube"}});
    check_value(piston.unit->reservoir.diameter, 0.040);
    CHECK_THAT(piston.unit->reservoir.gas_pressure, WithinRel(101325.0 + 20.0 * 6894.757, 1e-7));
    CHECK(piston.unit->reservoir.exponent == 1.2);
    check_value(piston.unit->reservoir.capacity.value(), 90e-6);
    CHECK(default_of(piston, "reservoir.friction") == "0 N");

    const setup::Reading leg =
        read("{kind: leg}", {{"damper.layout", "open_cartridge"}, {"support.leg.oil", "300 ml"}});
    CHECK(leg.unit->reservoir.kind == damper::ReservoirKind::leg);

    const setup::Reading back = read_example({{"reservoir.back_pressure", "0.5 bar"}});
    check_value(back.unit->reservoir.back_pressure, 101325.0 + 0.5e5);
}

TEST_CASE("the support reads its keys, in the units of a workshop", "[setup][example]") {
    const setup::Reading reading =
        read_example({{"support.spring.second", "{rate: 6 N/mm, from: 150 mm}"},
                      {"support.top_out", "{rate: 3 N/mm, length: 10 mm}"},
                      {"support.stop", "{rate: 150 N/mm, length: 8 mm}"},
                      {"support.breakaway", "32 N"},
                      {"support.load", "{sprung: 65 kg, rider: 95 kg, rider_share: 45 %, rake: 27 deg}"}});
    const damper::Support& support = *reading.unit->support;
    check_value(support.spring->second->rate, 6000.0);
    check_value(support.spring->second->from, 0.150);
    check_value(support.top_out->rate, 3000.0);
    check_value(support.stop->length, 0.008);
    CHECK(support.breakaway == 32.0);
    check_value(support.load->rider_share, 0.45);
    check_value(support.load->rake.value(), 27.0 * std::numbers::pi / 180.0);
    CHECK_FALSE(support.load->motion_ratio);
    CHECK_FALSE(support.load->linkage);
    CHECK(default_of(read_example(), "support.breakaway") == "25 N"); // as the sliding friction
}

TEST_CASE("a linkage is read beside the wheel and is the load's", "[setup][example]") {
    const std::string vehicle =
        "{unsprung: 16 kg, linkage: {wheel_travel: [0, 100, 300], travel: [0 mm, 40 mm, 0.13 m]}}";
    const setup::Reading reading = read_example(
        {{"support.load", "{sprung: 65 kg, rider: 95 kg, rider_share: 45 %}"}, {"vehicle", vehicle}});
    const damper::LinkageTable& table = reading.unit->support->load->linkage.value();
    CHECK(table == damper::LinkageTable{{0.0, 0.1, 0.3}, {0.0, 0.04, 0.13}});
    CHECK_FALSE(reading.unit->support->load->motion_ratio); // nothing rests on a mean
    for (const setup::DefaultUsed& one : reading.defaults)
        CHECK_FALSE(one.key.starts_with("support.load"));
    CHECK(reading.vehicle->unsprung == 16.0);
    // Without masses it carries nothing, but is read.
    CHECK_FALSE(read_example({{"vehicle", vehicle}}).unit->support->load);
}

TEST_CASE("oil by its level is the volume whose level it is", "[setup][example]") {
    struct Measured {
        std::string method;
        damper::LevelMethod way;
        double depth; // [mm]
    };
    using damper::ForkAt;
    using damper::SpringAt;
    for (const Measured& measured :
         {Measured{"fork: compressed, spring: out", {ForkAt::compressed, SpringAt::out}, 120.0},
          Measured{"fork: compressed, spring: in", {ForkAt::compressed, SpringAt::in}, 105.0},
          Measured{"fork: extended, spring: out", {ForkAt::extended, SpringAt::out}, 450.0},
          Measured{"fork: extended, spring: in", {ForkAt::extended, SpringAt::in}, 445.0}}) {
        const setup::Reading reading = read_example(
            {{"support.leg",
              "{chamber_volume: 1050 ml, diameter: 50 mm, level: {depth: " + std::to_string(measured.depth) +
                  " mm, " + measured.method +
                  "}, column: {tube: 48 mm, inside: 12 mm, length: 460 mm, spring_volume: 75 ml, "
                  "spring_length: 460 mm}}"}});
        const damper::Leg& leg = *reading.unit->support->leg;
        CHECK_THAT(damper::oil_depth(leg, reading.unit->cartridge, measured.way),
                   WithinRel(measured.depth * 1e-3, 1e-12));
    }
}
