#include <flow/samples.hpp>
#include <support/catch.hpp>
#include <valve/flow/through.hpp>

#include <cmath>
#include <numbers>

using namespace valve;

TEST_CASE("speeds and Reynolds numbers in ports and curtain", "[flow]") {
    flow::Valve valve;
    valve.ports = {.count = 4, .area_each = 10e-6};
    valve.stack.seat.inner_radius = 10e-3;
    const flow::OilState oil{.temperature = 313.15, .density = 800.0, .kinematic_viscosity = 20e-6};
    const flow::LinkState state{
        .dp = 8e5, .lift = 0.1e-3, .stack_flow = 0.4e-3, .port_loss = 0.7e5, .curtain_loss = 7.3e5};
    const std::optional<flow::Through> found = flow::through(valve, oil, state);
    REQUIRE(found);
    CHECK_THAT(found->port_velocity, WithinRel(10.0, 1e-12)); // 0.4 l/s through 40 mm²
    CHECK_THAT(found->port_reynolds, WithinRel(10.0 * std::sqrt(40e-6 / std::numbers::pi) / 20e-6, 1e-12));
    const double velocity = 0.4e-3 / (2.0 * std::numbers::pi * 10e-3 * 0.1e-3);
    CHECK_THAT(found->curtain_velocity, WithinRel(velocity, 1e-12));
    CHECK_THAT(found->curtain_reynolds, WithinRel(velocity * 0.2e-3 / 20e-6, 1e-12));
    CHECK(found->port_loss == 0.7e5);
    CHECK(found->curtain_loss == 7.3e5);
    CHECK_THAT(found->port_share(), WithinRel(0.7 / 8.0, 1e-12));

    const flow::LinkState backward{.dp = -8e5, .lift = 0.1e-3, .stack_flow = -0.4e-3};
    CHECK(flow::through(valve, oil, backward)->port_velocity == found->port_velocity);
    CHECK_FALSE(flow::through(valve, oil, {.dp = 8e5}));
}
