#include <motion/quarter_car.hpp>
#include <valve/core/constants.hpp>
#include <valve/damper/geometry.hpp>

#include <cmath>
#include <numbers>

namespace valve::validation {

namespace {

using damper::Place;

damper::SetUp set_up(const QuarterCar& car) {
    damper::SetUp setup;
    setup.oil.density_15 = 850.0;
    setup.oil.viscosity = {{313.15, 10e-6}, {373.15, 3e-6}};
    setup.oil.bulk_modulus = 10e9;
    setup.oil.free_air = 0.0;
    setup.oil.temperature = 313.15;
    damper::Cartridge& cartridge = setup.cartridge;
    cartridge.layout = damper::Layout::monotube;
    cartridge.bore = 150e-3;
    cartridge.rod = 1e-3;
    cartridge.travel = 0.4;
    cartridge.dead_length_C = cartridge.dead_length_R = 10e-3;
    // F = A_a Δp and A_a v = π D h³ Δp/(12 μ L).
    const double area = damper::piston_area(cartridge) - damper::rod_area(cartridge);
    const double viscosity = flow::state_of(setup.oil).dynamic_viscosity();
    constexpr double length = 10e-3;
    const double cube =
        12.0 * viscosity * length * area * area / (car.damping * std::numbers::pi * cartridge.bore);
    cartridge.ring_leak = damper::RingLeak{.gap = std::cbrt(cube), .length = length};
    setup.reservoir.kind = damper::ReservoirKind::bladder;
    setup.reservoir.gas_volume = 1e-3;
    setup.reservoir.gas_pressure = 20e5;

    flow::Valve valve; // that never opens
    valve.ports = {.count = 2, .area_each = 10e-6};
    valve.stack.shims = {{.outer_radius = 12e-3, .thickness = 0.3e-3, .material = {}}};
    valve.stack.clamp_radius = 6e-3;
    valve.stack.zone = {.inner_radius = 7e-3, .outer_radius = 11e-3};
    valve.stack.seat = {.inner_radius = 11e-3, .outer_radius = 11.5e-3, .height = 0.0};
    setup.valves[Place::piston_compression] = valve;

    setup.support.emplace();
    setup.support->spring = damper::MainSpring{.rate = car.spring, .preload = 0.0};
    setup.support->load = damper::Load{.sprung_mass = car.sprung, .motion_ratio = 1.0};
    return setup;
}

} // namespace

motion::Ride ride(const QuarterCar& car, const motion::Event& event, int samples) {
    const damper::SetUp setup = set_up(car);
    damper::LiftLaws laws;
    laws.at_place.at(static_cast<std::size_t>(Place::piston_compression)) =
        stack::LiftLaw({0.0, 200e5}, {0.0, 0.0}, 2.4e-4);
    const damper::Model model(setup, laws);
    const motion::MovingValves valves;
    const damper::SupportLaw support(setup);
    const motion::RideUnit unit{&model, &valves, &support, 1};
    motion::Vehicle vehicle;
    vehicle.unsprung = car.unsprung;
    vehicle.tyre = {.rate = car.tyre, .damping = 0.0, .radius = 0.0};
    motion::RideOptions options;
    options.samples = samples;
    return motion::run_ride({&unit, 1}, vehicle, *setup.support->load, event, options);
}

} // namespace valve::validation
