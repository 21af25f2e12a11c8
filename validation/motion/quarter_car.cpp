#include <motion/quarter_car.hpp>
#include <valve/core/constants.hpp>
#include <valve/damper/geometry.hpp>

#include <cmath>
#include <cstddef>
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
    flow::Valve valve; // that never opens
    valve.ports = {.count = 2, .area_each = 10e-6};
    valve.stack.shims = {{.outer_radius = 12e-3, .thickness = 0.3e-3, .material = {}}};
    valve.stack.clamp_radius = 6e-3;
    valve.stack.zone = {.inner_radius = 7e-3, .outer_radius = 11e-3};
    valve.stack.seat = {.inner_radius = 11e-3, .outer_radius = 11.5e-3, .height = 0.0};
    if (car.damping == 0.0) {
        cartridge.bore = 30e-3;
        valve.bleed = flow::Notch{.area = 0.01};
    }
    setup.valves[Place::piston_compression] = valve;
    // F = A_a Δp and A_a v = π D h³ Δp/(12 μ L).
    const double area = damper::piston_area(cartridge) - damper::rod_area(cartridge);
    const double viscosity = flow::state_of(setup.oil).dynamic_viscosity();
    constexpr double length = 10e-3;
    if (car.damping > 0.0) {
        const double cube =
            12.0 * viscosity * length * area * area / (car.damping * std::numbers::pi * cartridge.bore);
        cartridge.ring_leak = damper::RingLeak{.gap = std::cbrt(cube), .length = length};
    }
    setup.reservoir.kind = damper::ReservoirKind::bladder;
    setup.reservoir.gas_volume = 1e-3;
    setup.reservoir.gas_pressure = 20e5;

    setup.support.emplace();
    setup.support->spring = damper::MainSpring{.rate = car.spring, .preload = 0.0};
    setup.support->friction = car.friction;
    setup.support->breakaway = car.breakaway;
    setup.support->load = damper::Load{.sprung_mass = car.sprung, .linkage = car.linkage};
    if (!car.linkage) setup.support->load->motion_ratio = 1.0;
    return setup;
}

} // namespace

motion::Ride ride(const QuarterCar& car, const motion::Event& event, int samples, double relative_error) {
    const damper::SetUp setup = set_up(car);
    damper::LiftLaws laws;
    laws.at_place.at(static_cast<std::size_t>(Place::piston_compression)) =
        stack::LiftLaw({0.0, 200e5}, {0.0, 0.0}, 2.4e-4);
    const damper::Model model(setup, laws);
    const motion::MovingValves valves;
    const damper::SupportLaw support(setup);
    const motion::RideUnit unit{model, valves, support};
    motion::Vehicle vehicle;
    vehicle.unsprung = car.unsprung;
    vehicle.tyre = {.rate = car.tyre, .damping = car.tyre_damping, .radius = 0.0};
    motion::RideOptions options;
    options.samples = samples;
    options.relative_error = relative_error;
    return motion::run_ride({&unit, 1}, vehicle, *setup.support->load, event, options);
}

motion::Event sine_road(double wavelength, double amplitude, double speed, double duration) {
    motion::Event event;
    event.kind = motion::EventKind::profile;
    event.speed = speed;
    event.duration = duration;
    event.at = 0.0;
    constexpr double spacing = 5e-3; // [m]
    const auto points = static_cast<std::size_t>(std::ceil(speed * duration / spacing)) + 2;
    for (std::size_t i = 0; i < points; ++i) {
        const double s = static_cast<double>(i) * spacing;
        event.distance.push_back(s);
        event.heights.push_back(amplitude * (1.0 - std::cos(2.0 * std::numbers::pi * s / wavelength)));
    }
    return event;
}

} // namespace valve::validation
