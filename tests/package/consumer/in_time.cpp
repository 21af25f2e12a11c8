// All that a user may ask for in time, and one shim, by the one header.
#include <valve/valve.hpp>

#include <array>
#include <cstdio>

namespace {

/// The lift of one shim of `thickness` [m] on a seat, at a pressure so small that linear theory holds [m].
double lift_of(double thickness) {
    valve::stack::Stack plate;
    plate.shims = {{.outer_radius = 13e-3, .thickness = thickness, .material = {}}};
    plate.clamp_radius = 6e-3;
    plate.zone = {.inner_radius = 8e-3, .outer_radius = 11e-3};
    plate.seat = {.inner_radius = 11e-3, .outer_radius = 12e-3};
    return valve::stack::Solution(plate).at(10.0).seat_lift;
}

} // namespace

int main(int argc, char** argv) try {
    // A plate is stiffer by the cube of its thickness.
    const double ratio = lift_of(0.2e-3) / lift_of(0.4e-3);
    std::printf("a shim twice as thick lifts 1/%.3f as far\n", ratio);

    const auto document = valve::setup::Document::load(argc > 1 ? argv[1] : "fork.yaml");
    const valve::setup::Reading reading = valve::setup::read(document);
    const valve::damper::SetUp& fork = reading.unit.value();
    valve::damper::LiftCache stacks({.shape = valve::stack::Shape::round}); // sooner solved
    const valve::damper::Model model = stacks.model(fork);

    const valve::flow::Valve& check = fork.valves[valve::damper::Place::base_refill].value();
    const valve::flow::ValveLaw law(check, valve::stack::Solution(check.stack).law(), model.oil());
    const double flow = law.at(0.5e5).flow;
    std::printf("the check passes %.0f ml/s at 0.5 bar\n", flow * 1e6);

    const valve::motion::MovingValves valves = valve::motion::moving_valves(model, stacks);
    const double middle = 0.5 * fork.cartridge.travel;
    const auto sine = valve::motion::Input::sine(middle, 60e-3, 4.0);
    const valve::motion::Cycle cycle = valve::motion::run_cycle(model, valves, sine);
    std::printf("a cycle takes %.1f J\n", cycle.work);
    const auto swing = valve::motion::least_damped(model, valves, 1.0, middle);
    if (swing) std::printf("%s swings at %.0f Hz\n", name(swing->valve).data(), swing->frequency);

    const auto pebble = valve::setup::EventFile::load(argc > 2 ? argv[2] : "pebble.yaml");
    const valve::damper::SupportLaw support(fork);
    const std::array units{valve::motion::RideUnit{model, valves, support}};
    const valve::motion::Ride ride =
        valve::motion::run_ride(units, reading.vehicle.value(), fork.support.value().load.value(),
                                pebble.event, valve::motion::RideOptions(valve::motion::Accuracy::quick));
    std::printf("over %s the travel reaches %.1f mm\n", pebble.event.title.c_str(),
                ride.metrics.peak_travel * 1e3);

    const bool is_right = ratio > 7.99 && ratio < 8.01 && flow > 0.0 && cycle.work > 0.0 &&
                          ride.metrics.peak_travel > ride.metrics.start_travel;
    return is_right ? 0 : 1;
} catch (const valve::Error& error) {
    std::fprintf(stderr, "%s\n", error.what());
    return 1;
}
