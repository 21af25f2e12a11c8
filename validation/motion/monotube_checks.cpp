#include <frame/numbers.hpp>
#include <motion/parts.hpp>
#include <valve/core/constants.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/study/cycle.hpp>

#include <fmt/format.h>

#include <cmath>
#include <string>
#include <vector>

namespace valve::validation {

namespace {

using damper::Place;

/// Piston of 36 mm on a rod of 12 mm with a hole of 4 mm, no stacks; 100 mm of oil on either side at mid
/// stroke, gas of 50 mm at 1 MPa behind it.
damper::SetUp monotube() {
    damper::SetUp setup;
    setup.oil.density_15 = 860.0 / (1.0 - 7.5e-4 * 25.0); // 860 at the oil's 40 °C
    setup.oil.viscosity = {{313.15, 10e-6}, {373.15, 3e-6}};
    setup.oil.bulk_modulus = 1.5e9;
    setup.oil.free_air = 0.0;
    damper::Cartridge& cartridge = setup.cartridge;
    cartridge.layout = damper::Layout::monotube;
    cartridge.bore = 36e-3;
    cartridge.rod = 12e-3;
    cartridge.travel = 0.1;
    // The reference counts all oil behind the piston as one column, which ends at the gas.
    const double share = damper::rod_area(cartridge) / damper::piston_area(cartridge);
    cartridge.dead_length_C = 0.05 - 0.05 * share;
    cartridge.dead_length_R = 0.05;
    // The reference has 1 MPa everywhere at mid stroke. Out from there, where ours begins, the rod makes room
    // for gas and for oil that expands: V_g(p) = V_g + A_r 25 mm − V_oil (1 MPa − p)/K.
    const double at_middle = 0.05 * damper::piston_area(cartridge);
    const double oil = 0.1 * (2.0 * damper::piston_area(cartridge) - damper::rod_area(cartridge));
    const double room = 0.025 * damper::rod_area(cartridge);
    constexpr double exponent = 1.3;
    double gas = at_middle + room;
    double pressure = 1e6;
    for (int step = 0; step < 20; ++step) {
        pressure = 1e6 * std::pow(at_middle / gas, exponent);
        gas = at_middle + room - oil * (1e6 - pressure) / setup.oil.bulk_modulus;
    }
    setup.reservoir.kind = damper::ReservoirKind::bladder;
    setup.reservoir.exponent = exponent;
    setup.reservoir.gas_volume = gas + room; // at full extension, 25 mm further out
    setup.reservoir.gas_pressure = pressure * std::pow(gas / setup.reservoir.gas_volume, exponent);

    flow::Valve valve; // that never opens, and has the hole
    valve.ports = {.count = 2, .area_each = 10e-6};
    valve.stack.shims = {{.outer_radius = 12e-3, .thickness = 0.3e-3, .material = {}}};
    valve.stack.clamp_radius = 6e-3;
    valve.stack.zone = {.inner_radius = 7e-3, .outer_radius = 11e-3};
    valve.stack.seat = {.inner_radius = 11e-3, .outer_radius = 11.5e-3, .height = 0.0};
    valve.bleed = flow::Hole{.diameter = 4e-3, .count = 1};
    setup.valves[Place::piston_compression] = valve;
    return setup;
}

} // namespace

void monotube_checks(Recorder& recorder) {
    const damper::SetUp setup = monotube();
    damper::LiftLaws laws;
    laws.at_place.at(2) = stack::LiftLaw({0.0, 200e5}, {0.0, 0.0}, 2.4e-4);
    const damper::Model model(setup, laws);
    const motion::Input input = motion::Input::sine(0.05, 0.05, 2.0);
    motion::CycleOptions options;
    options.samples = 80;
    options.least_loops = 4;
    const motion::Cycle cycle = run_cycle(model, {}, input, options);

    const Source source{
        "", "the two pressures' equations with a constant bulk modulus and a fourth-root orifice, by "
            "SciPy's Radau at 1e-9; times of the second cycle from the middle of the stroke"};
    const double outside = model.rod_area() * (p_atm - 1e5); // the reference's atmosphere is 1 bar
    struct Row {
        double time, p_C, p_R, force;
    };
    for (const Row row : std::vector<Row>{{0.5000, 1000230, 551072, 508.203},
                                          {0.5625, 1053120, 827616, 311.827},
                                          {0.6250, 1076195, 1076193, 110.406},
                                          {0.6875, 1052202, 1275920, -94.723},
                                          {0.7500, 998622, 1447781, -304.757},
                                          {0.8750, 931611, 931612, 94.052}}) {
        const double since_outer_end = row.time - 0.5 + 0.125;
        const auto sample = static_cast<std::size_t>(std::lround(since_outer_end * 160.0));
        const motion::Moment& moment = cycle.series.at(sample);
        // The reference passes the same volume out of one chamber and into the other, whatever their
        // pressures, and so loses some Δp/K = 3e-4 of what passes: 13.5 mm³ of gas room a stroke, 340 Pa.
        const auto check = [&](const char* what, double expected, double got, double within,
                               const char* unit) {
            recorder.add({fmt::format("monotube with an orifice, {:g} s: {}", row.time, what), source,
                          Kind::computed_reference, expected, got,
                          absolute(within, "the reference balances volumes, not masses"), unit});
        };
        check("pressure behind the piston", row.p_C, moment.p_C, 800.0, "Pa");
        check("pressure round the rod", row.p_R, moment.p_R, 1600.0, "Pa");
        check("force", row.force, moment.force + outside, 0.8, "N");
        const auto by_masses = [&](const std::string& what, double got) {
            const std::string key = fmt::format("{} at {:g} s", what, row.time);
            recorder.add({"monotube with an orifice, by masses: " + key,
                          {"", "the same equations with masses in balance, references/motion.py"},
                          Kind::computed_reference,
                          numbers("motion").at("monotube", key),
                          got,
                          relative(1e-5, "the two orifice laws near zero"),
                          "Pa"});
        };
        by_masses("p_C", moment.p_C);
        by_masses("p_R", moment.p_R);
    }
    recorder.add({"monotube with an orifice: energy of a cycle", source, Kind::computed_reference, 27.0985,
                  cycle.work, relative(1.5e-3, "the reference balances volumes, not masses"), "J"});
}

} // namespace valve::validation
