#include <damper/balance.hpp>
#include <damper/draw.hpp>
#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/core/findings.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/damper/steady.hpp>

#include <array>
#include <cmath>
#include <cstdio>

using namespace valve;
using damper::Chamber;
using damper::Layout;
using damper::Model;
using damper::RodInto;
using damper::SteadyPoint;

TEST_CASE("a thousand dampers of every layout lose no oil and make no energy", "[damper][steady]") {
    tests::Draw draw(20261125);
    std::array<int, 4> of_layout{};
    std::array<int, 4> of_reservoir{};
    std::array<int, 2> emptied{};
    int solved = 0;
    int without_base = 0;
    int in_cups = 0;
    for (int trial = 0; trial < 1000; ++trial) {
        const damper::SetUp setup = draw.setup();
        REQUIRE(first_error(damper::check(setup)) == nullptr);
        const Model model(setup, draw.laws(setup));
        const double travel = draw.between(0.0, setup.cartridge.travel);
        const RodInto rod_into = setup.cartridge.layout == Layout::closed_cartridge && draw.chance(0.5)
                                     ? RodInto::leg
                                     : RodInto::atmosphere;
        int states = 0;
        for (const double size : {draw.decades(1e-4, 0.1), draw.decades(0.1, 4.0)}) {
            for (const double speed : {-size, size}) {
                CAPTURE(trial, speed, travel);
                SteadyPoint point;
                try {
                    point = damper::steady_point(model, speed, travel, rod_into);
                } catch (const SolveError&) {
                    continue; // beyond the end of a law, no way for the oil, or a reservoir that is empty
                }
                ++states;
                if (point.cavitated) ++emptied.at(static_cast<std::size_t>(*point.cavitated));
                tests::check_flows(model, point, 1e-10);
                tests::check_pressures(model, point);
                tests::check_energy(model, point, travel, 1e-10);
                if (point.end_force.value_or(0.0) != 0.0) ++in_cups;
            }
        }
        solved += states;
        if (states == 0) continue;
        ++of_layout.at(static_cast<std::size_t>(setup.cartridge.layout));
        ++of_reservoir.at(static_cast<std::size_t>(setup.reservoir.kind));
        if (model.base() == nullptr) ++without_base;
    }
    // The test would say nothing of what was hardly drawn, or failed.
    CHECK(solved > 2000); // of 4000
    CHECK(emptied.at(static_cast<std::size_t>(Chamber::C)) > 100);
    CHECK(emptied.at(static_cast<std::size_t>(Chamber::R)) > 100);
    CHECK(without_base > 100);
    CHECK(in_cups > 200);
    for (std::size_t i = 0; i < 4; ++i) {
        CAPTURE(i);
        CHECK(of_layout.at(i) > 150);
        CHECK(of_reservoir.at(i) > 80);
    }
    std::printf("counted: 1000 random dampers of four layouts, %d states: oil and energy kept to 1e-10, none "
                "makes energy, %d with a void\n",
                solved, emptied[0] + emptied[1]);
}
