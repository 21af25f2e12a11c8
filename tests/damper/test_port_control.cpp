#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/damper/port_control.hpp>

#include <algorithm>
#include <cmath>
#include <stdexcept>

using namespace valve;
using damper::Model;
using damper::Place;

namespace {

/// A fork whose oil all goes through the stacks.
damper::SetUp tight_fork() {
    damper::SetUp setup = samples::fork();
    setup.cartridge.ring_leak.reset();
    for (const Place place : damper::all_places) {
        setup.valves[place]->bleed.reset();
        setup.valves[place]->jet_force = 0.0;
    }
    return setup;
}

/// Stacks that lift by 0.1 mm a bar.
constexpr double compliance = 1e-9; // [m/Pa]

damper::LiftLaws linear_laws(const damper::SetUp& setup) {
    return samples::laws_of(setup, stack::LiftLaw({0.0, 50e5, 100e5}, {0.0, 5e-3, 10e-3}, 2e-4));
}

std::optional<double> choked_from(const std::vector<damper::PortControl>& ports, Place place) {
    const auto found = std::find_if(ports.begin(), ports.end(),
                                    [&](const damper::PortControl& port) { return port.place == place; });
    if (found == ports.end()) throw std::logic_error("no such valve");
    return found->from;
}

} // namespace

TEST_CASE("ports take over where their loss equals that of the curtain", "[damper][ports]") {
    const damper::SetUp setup = tight_fork();
    const Model model(setup, linear_laws(setup));
    const flow::Valve& valve = *setup.valves[Place::piston_rebound];
    // Both turbulent, lift = c p: port loss/curtain loss = (C_c L c p/(C_p A))², which is 1 at p*, and
    // Q* = C_p A √(2 p*/ρ).
    const double length = 2.0 * std::numbers::pi * valve.stack.seat.inner_radius;
    const double ports = 0.75 * 4 * 11e-6;
    const double pressure = ports / (0.70 * length * compliance);
    const double speed = ports * std::sqrt(2.0 * pressure / model.oil().density) / model.annulus_area();
    const std::vector<damper::PortControl> found = damper::port_control(model, 0.15, 4.0);
    REQUIRE(choked_from(found, Place::piston_rebound));
    // The search stops within 0.001 m/s.
    CHECK_THAT(*choked_from(found, Place::piston_rebound), WithinAbs(speed, 0.0011));
    // Its share of the flow is smaller, so the base is choked at a higher speed, if at all.
    CHECK(choked_from(found, Place::base_refill).value_or(4.0) > speed);
}

TEST_CASE("smaller ports choke sooner, and none are choked below the speed asked", "[damper][ports]") {
    damper::SetUp setup = tight_fork();
    const auto from = [&] {
        return choked_from(damper::port_control(Model(setup, linear_laws(setup)), 0.15, 4.0),
                           Place::piston_compression);
    };
    const std::optional<double> large = from();
    setup.valves[Place::piston_compression]->ports.area_each /= 2.0;
    const std::optional<double> small = from();
    REQUIRE(small);
    CHECK(*small < large.value_or(4.0));
    CHECK_FALSE(choked_from(damper::port_control(Model(setup, linear_laws(setup)), 0.15, 0.9 * *small),
                            Place::piston_compression));
}

TEST_CASE("the losses of ports and curtain add up to the drop, each way of the rod", "[damper][ports]") {
    const damper::SetUp setup = samples::fork();
    const Model model(setup, samples::bending_laws(setup));
    for (const double speed : {-0.2, 0.3}) {
        const damper::SteadyPoint point = damper::steady_point(model, speed, 0.15);
        REQUIRE_FALSE(point.cavitated);
        const damper::ThroughValves valves = damper::through_valves(model, point);
        REQUIRE((valves.piston && valves.base));
        CHECK_THAT(valves.piston->port_loss + valves.piston->curtain_loss,
                   WithinRel(point.dp_piston, 1e-9)); // of two solutions for one state
        CHECK_THAT(valves.base->port_loss + valves.base->curtain_loss, WithinRel(point.dp_base, 1e-9));
    }
    const damper::LiftLaws stuck = samples::laws_of(setup, samples::stuck());
    const Model shut(setup, stuck);
    CHECK_FALSE(damper::through_valves(shut, damper::steady_point(shut, 0.001, 0.15)).piston);
}

TEST_CASE("a valve that runs dry passes what its pressures allow", "[damper][ports]") {
    damper::SetUp setup = tight_fork();
    setup.reservoir.preload = 0.0;
    setup.reservoir.friction = 0.0;
    setup.valves[Place::base_refill]->ports.area_each = 1e-6;
    const Model model(setup, linear_laws(setup));
    const damper::SteadyPoint point = damper::steady_point(model, -2.0, 0.15);
    REQUIRE(point.cavitated == damper::Chamber::C);
    const std::optional<flow::Through> base = damper::through_valves(model, point).base;
    REQUIRE(base);
    CHECK_THAT(base->port_velocity * 4e-6 + point.void_growth, WithinRel(model.rod_area() * 2.0, 1e-9));
}
