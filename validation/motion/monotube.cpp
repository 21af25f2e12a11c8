#include <motion/monotube.hpp>
#include <valve/damper/geometry.hpp>

#include <cmath>
#include <cstddef>

namespace valve::validation {

using damper::Place;

namespace {

damper::SetUp monotube_set_up() {
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

damper::Model monotube() {
    damper::LiftLaws laws;
    laws.at_place.at(static_cast<std::size_t>(Place::piston_compression)) =
        stack::LiftLaw({0.0, 200e5}, {0.0, 0.0}, 2.4e-4);
    return {monotube_set_up(), laws};
}

} // namespace valve::validation
