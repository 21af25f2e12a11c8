#include <damper/balance.hpp>
#include <support/catch.hpp>
#include <support/demos.hpp>
#include <valve/damper/lift_cache.hpp>
#include <valve/damper/support.hpp>
#include <valve/study/reading.hpp>

#include <array>
#include <cmath>

using namespace valve;

// What must hold of every set-up in stacks/, whatever story it tells. Linear plates: they are the quicker
// ones, and oil and energy are kept whatever the lift.
TEST_CASE("every demo keeps its oil and its energy, over speed, travel and temperature", "[report][demo]") {
    damper::LiftCache lifts({.theory = stack::Theory::linear});
    std::array<int, 4> of_layout{};
    for (const std::string& path : demo_files()) {
        const setup::Reading reading = setup::read(setup::Document::load(path));
        damper::SetUp unit = study::unit_of(path, reading);
        ++of_layout.at(static_cast<std::size_t>(unit.cartridge.layout));
        for (const double celsius : {-10.0, 40.0, 100.0}) {
            unit.oil.temperature = zero_celsius + celsius;
            const damper::Model model = lifts.model(unit);
            for (const double share : {0.05, 0.5, 0.95}) {
                for (const double speed : {-4.0, -1.0, -0.02, 0.02, 1.0, 4.0}) {
                    CAPTURE(path, celsius, share, speed);
                    const double travel = share * unit.cartridge.travel;
                    const damper::SteadyPoint point = damper::steady_point(model, speed, travel);
                    tests::check_flows(model, point, 1e-9);
                    tests::check_pressures(model, point);
                    tests::check_energy(model, point, travel, 1e-9);
                }
            }
        }
    }
    for (const int demos : of_layout)
        CHECK(demos > 0);
}

TEST_CASE("the support of every demo is the slope of its energy", "[report][demo]") {
    for (const std::string& path : demo_files()) {
        const setup::Reading reading = setup::read(setup::Document::load(path));
        const damper::SupportLaw law(study::unit_of(path, reading));
        for (const double share : {0.02, 0.3, 0.7, 0.99}) {
            CAPTURE(path, share);
            const double travel = share * law.travel();
            const double step = 1e-5 * law.travel();
            const double slope = (law.at(travel + step).energy - law.at(travel - step).energy) / (2.0 * step);
            // 1e-10 of the curvature near full travel, 1e-9 of rounding in the difference
            CHECK_THAT(law.at(travel).force, WithinRel(slope, 1e-6));
        }
    }
}
