#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/damper/leg_air.hpp>

#include <stdexcept>

using namespace valve;
using damper::circle_area;
using damper::ForkAt;
using damper::LevelMethod;
using damper::SpringAt;

namespace {

damper::SetUp fork_with_column() {
    damper::SetUp setup = samples::fork();
    setup.support->leg->column = damper::OilColumn{
        .tube = 46e-3, .inside = 30e-3, .length = 0.5, .spring_volume = 75e-6, .spring_length = 0.46};
    return setup;
}

} // namespace

TEST_CASE("an oil level and its volume are two words for one thing", "[damper][leg-air]") {
    damper::SetUp setup = fork_with_column();
    damper::Leg& leg = *setup.support->leg;
    for (const LevelMethod& method : damper::all_level_methods)
        for (const double volume : {300e-6, 365e-6, 390e-6}) {
            leg.oil_volume = volume;
            const double depth = oil_depth(leg, setup.cartridge, method);
            CHECK_THAT(oil_volume(leg, setup.cartridge, depth, method), WithinRel(volume, 1e-13));
        }
}

TEST_CASE("a level is the room above the oil, by how the fork stands and where its spring is",
          "[damper][leg-air]") {
    const damper::SetUp setup = fork_with_column();
    const damper::Leg& leg = *setup.support->leg;
    const auto depth = [&](ForkAt fork, SpringAt spring) {
        return oil_depth(leg, setup.cartridge, {fork, spring});
    };
    const double column = circle_area(46e-3) - circle_area(30e-3);
    const double swept = (circle_area(50e-3) - circle_area(12e-3)) * 0.3;
    CHECK_THAT(depth(ForkAt::compressed, SpringAt::out),
               WithinRel((1050e-6 - swept + 75e-6 - 365e-6) / column, 1e-13));
    CHECK_THAT(depth(ForkAt::compressed, SpringAt::in),
               WithinRel((1050e-6 - swept - 365e-6) / (column - 75e-6 / 0.16), 1e-13));
    CHECK_THAT(depth(ForkAt::extended, SpringAt::out), WithinRel((1125e-6 - 365e-6) / column, 1e-13));
    CHECK_THAT(depth(ForkAt::extended, SpringAt::in), WithinRel(685e-6 / (column - 75e-6 / 0.46), 1e-13));
}

TEST_CASE("oil that would stand above the top has a level below zero", "[damper][leg-air]") {
    damper::SetUp setup = fork_with_column();
    setup.support->leg->oil_volume = 600e-6;
    CHECK(oil_depth(*setup.support->leg, setup.cartridge, {ForkAt::compressed, SpringAt::out}) < 0.0);
}

TEST_CASE("the leg's air loses the rod's volume only where the rod does not go into it",
          "[damper][leg-air]") {
    damper::SetUp setup = samples::fork();
    const damper::Leg& leg = *setup.support->leg;
    CHECK_THAT(air_area(leg, setup.cartridge), WithinRel(circle_area(50e-3) - circle_area(12e-3), 1e-14));
    setup.cartridge.layout = damper::Layout::open_cartridge;
    CHECK_THAT(air_area(leg, setup.cartridge), WithinRel(circle_area(50e-3), 1e-14));
    CHECK_THAT(air_travel_limit(leg, setup.cartridge), WithinRel(685e-6 / circle_area(50e-3), 1e-14));
    CHECK_THROWS_AS(oil_depth(leg, setup.cartridge, {}), std::invalid_argument);
}
