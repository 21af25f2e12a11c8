#include <damper/samples.hpp>
#include <flow/derivative.hpp>
#include <support/catch.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/damper/model.hpp>

#include <cmath>
#include <stdexcept>

using namespace valve;
using damper::ByChamber;
using damper::Chamber;
using damper::Model;
using damper::Network;
using damper::NetworkState;
using damper::Place;

namespace {

Model fork_model() {
    const damper::SetUp setup = samples::fork();
    return {setup, samples::bending_laws(setup)};
}

Model shock_model() {
    const damper::SetUp setup = samples::shock();
    return {setup, samples::bending_laws(setup)};
}

constexpr double p_cav = 20e3;

} // namespace

TEST_CASE("space in the chambers follows the rod by the areas of its walls", "[damper][network]") {
    const Model model = fork_model();
    const Network& network = model.network();
    // At full compression the dead length is left in C, at full extension in R: 30 mm each.
    CHECK_THAT(network.volumes(0.3).C, WithinRel(network.piston_area() * 0.03, 1e-12));
    CHECK_THAT(network.volumes(0.0).R, WithinRel(network.annulus_area() * 0.03, 1e-12));
    CHECK_THAT(network.volumes(0.1).S, WithinRel(damper::circle_area(12e-3) * 0.1, 1e-12));
    const auto in_C = [&](double travel) { return network.volumes(travel).C; };
    const auto in_R = [&](double travel) { return network.volumes(travel).R; };
    CHECK_THAT(network.growth_area(Chamber::C), WithinRel(difference_slope(in_C, 0.1, 1e-3), 1e-9));
    CHECK_THAT(network.growth_area(Chamber::R), WithinRel(difference_slope(in_R, 0.1, 1e-3), 1e-9));
    CHECK(network.growth_area(Chamber::S) == 0.0);
    // What the rod takes from C and R together goes to S.
    const ByChamber before = network.volumes(0.1);
    const ByChamber after = network.volumes(0.2);
    CHECK_THAT(before.C + before.R - after.C - after.R, WithinRel(after.S - before.S, 1e-12));
}

TEST_CASE("at given pressures the links pass what their drops drive", "[damper][network]") {
    const Model model = fork_model();
    const Network& network = model.network();
    const ByChamber pressures{.C = 6e5, .R = 5e5, .S = 2e5};
    const NetworkState state = network.at(0.0, pressures);
    CHECK(state.piston.flow == network.piston().at_drop(1e5).flow);
    REQUIRE(state.base);
    CHECK(state.base->flow == network.base()->at_drop(4e5).flow);
    CHECK(network.excess(state, Chamber::C) == -state.piston.flow - state.base->flow);
    CHECK(network.excess(state, Chamber::R) == state.piston.flow);
    CHECK(network.excess(state, Chamber::S) == 0.0);
    CHECK(network.intake(state) == state.base->flow);
    CHECK_THAT(network.force(pressures),
               WithinRel(network.piston_area() * 6e5 - network.annulus_area() * 5e5, 1e-14));

    // The rod moves the walls: what flows in besides is too much.
    const NetworkState moving = network.at(0.5, pressures);
    CHECK_THAT(network.excess(moving, Chamber::R),
               WithinRel(state.piston.flow - network.annulus_area() * 0.5, 1e-12));
    CHECK_THAT(network.excess(moving, Chamber::C) - network.excess(state, Chamber::C),
               WithinRel(network.piston_area() * 0.5, 1e-12));

    const Model shock = shock_model();
    CHECK_THROWS_AS(shock.network().at(0.0, pressures), std::invalid_argument);
    CHECK_FALSE(shock.network().at(0.0, {.C = 2e5, .R = 1e5, .S = 2e5}).base);
    CHECK_THROWS_AS(network.at(0.0, {.C = std::nan(""), .R = 1e5, .S = 1e5}), std::invalid_argument);
}

TEST_CASE("off balance the powers miss by the oil that has no room, at its pressure", "[damper][network]") {
    const Model model = fork_model();
    const Network& network = model.network();
    const NetworkState state = network.at(0.7, {.C = 8e5, .R = 3e5, .S = 2.5e5});
    const damper::NetworkPower power = network.power(state);
    const double missing = state.pressure.C * network.excess(state, Chamber::C) +
                           state.pressure.R * network.excess(state, Chamber::R);
    CHECK(std::abs(missing) > 1.0); // [W]
    CHECK_THAT(power.in - power.links - power.reservoir + power.voids, WithinRel(missing, 1e-10));
}

TEST_CASE("in equilibrium chambers and powers balance, without a base valve too", "[damper][network]") {
    for (const Model& model : {fork_model(), shock_model()}) {
        const Network& network = model.network();
        for (const double speed : {-3.0, -0.5, -1e-3, 1e-3, 0.5, 3.0}) {
            const NetworkState state = network.equilibrium(speed, 4e5, p_cav);
            CAPTURE(speed, network.base() != nullptr);
            for (const Chamber chamber : {Chamber::C, Chamber::R, Chamber::S})
                CHECK_THAT(network.excess(state, chamber),
                           WithinAbs(0.0, 1e-12 * network.piston_area() * std::abs(speed)));
            const damper::NetworkPower power = network.power(state);
            CHECK_THAT(power.in, WithinRel(power.links + power.reservoir - power.voids, 1e-10));
            CHECK(power.links > 0.0);
        }
    }
}

TEST_CASE("the equilibrium is that of the links at its own pressures", "[damper][network]") {
    const Model model = fork_model();
    const Network& network = model.network();
    for (const double speed : {-1.0, 1.0}) {
        const NetworkState state = network.equilibrium(speed, 4e5, p_cav);
        const NetworkState again = network.at(speed, state.pressure);
        CHECK_THAT(again.piston.flow, WithinRel(state.piston.flow, 1e-9)); // a difference of pressures
        CHECK_THAT(again.base->flow, WithinRel(state.base->flow, 1e-9));
    }
    const NetworkState rest = network.equilibrium(0.0, 4e5, p_cav);
    CHECK(rest.pressure.C == 4e5);
    CHECK(rest.pressure.R == 4e5);
    CHECK(rest.piston.flow == 0.0);
    CHECK(network.excess(rest, Chamber::C) == 0.0);
}

TEST_CASE("an equilibrium goes on beyond the end of a lift curve and its link says so", "[damper][network]") {
    const damper::SetUp setup = samples::fork();
    damper::LiftLaws laws = samples::bending_laws(setup);
    laws.at_place[static_cast<std::size_t>(Place::piston_rebound)] =
        stack::LiftLaw({0.0, 1e5, 5e5}, {0.0, 0.0, 0.2e-3}, 2.4e-4);
    const Model model(setup, laws);
    const NetworkState slow = model.network().equilibrium(-0.05, 4e5, p_cav);
    CHECK_FALSE(slow.piston.beyond_curve);
    const NetworkState fast = model.network().equilibrium(-4.0, 4e5, p_cav);
    CHECK(fast.piston.beyond_curve);
    CHECK_FALSE(fast.base->beyond_curve);
    CHECK_THAT(model.network().excess(fast, Chamber::R), WithinAbs(0.0, 1e-12 * model.piston_area()));
}

TEST_CASE("no equilibrium where nothing lets the oil out of a chamber", "[damper][network]") {
    damper::SetUp setup = samples::fork();
    setup.cartridge.ring_leak.reset();
    setup.valves[Place::base_compression].reset();
    const Model model(setup, samples::bending_laws(setup));
    CHECK_THROWS_WITH(model.network().equilibrium(1e-6, 4e5, p_cav),
                      contains_text("base.compression: nothing lets") && contains_text("a bleed"));
    CHECK_FALSE(model.network().equilibrium(-1.0, 4e5, p_cav).cavitated);
}
