#include <motion/check_jacobian.hpp>
#include <motion/discs.hpp>
#include <motion/random_cycle.hpp>
#include <motion/random_ride.hpp>
#include <support/catch.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/motion/cycle.hpp>
#include <valve/motion/detail/dynamics.hpp>
#include <valve/motion/stability.hpp>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <numbers>
#include <vector>

using namespace valve;
using motion::Cycle;
using motion::Grip;
using motion::Input;
using motion::Seating;
using motion::detail::Dynamics;
using tests::check_jacobian;

namespace {

damper::SetUp heavy(damper::SetUp setup, double mass) {
    setup.reservoir.mass = mass;
    return setup;
}

damper::SetUp smooth(damper::SetUp setup, double mass) {
    setup.reservoir.friction = 0.0;
    return heavy(std::move(setup), mass);
}

Cycle run(const damper::SetUp& layout, const Input& input, bool moves) {
    const damper::SetUp setup = samples::with_discs(layout);
    const damper::Model model(setup, samples::disc_laws(setup));
    motion::CycleOptions options; // the same loop of all
    options.lead_in = false;
    options.least_loops = options.most_loops = 2;
    return run_cycle(model, moves ? samples::moving_discs(model) : motion::MovingValves{}, input, options);
}

/// The r.m.s. difference of the forces of two cycles, of the range of the first.
double apart(const Cycle& one, const Cycle& other) {
    REQUIRE(one.series.size() == other.series.size());
    double sum = 0.0;
    double low = one.series.front().force;
    double high = low;
    for (std::size_t i = 0; i < one.series.size(); ++i) {
        const double difference = one.series[i].force - other.series[i].force;
        sum += difference * difference;
        low = std::min(low, one.series[i].force);
        high = std::max(high, one.series[i].force);
    }
    return std::sqrt(sum / static_cast<double>(one.series.size())) / (high - low);
}

} // namespace

TEST_CASE("the Jacobian holds where the reservoir's piston has mass", "[motion][piston]") {
    const bool inertia = GENERATE(false, true);
    const bool moves = GENERATE(false, true);
    for (const damper::SetUp& layout : {samples::fork(), samples::shock()})
        for (const Grip grip : {Grip::stuck, Grip::in, Grip::out}) {
            CAPTURE(inertia, moves, damper::name(layout.cartridge.layout), static_cast<int>(grip));
            damper::SetUp setup = samples::with_discs(heavy(layout, 0.1));
            if (!inertia) setup = samples::without_inertia(setup);
            const damper::Model model(setup, samples::disc_laws(setup));
            const Input input = Input::sine(0.05, 0.04, 3.0);
            const motion::MovingValves valves = moves ? samples::moving_discs(model) : motion::MovingValves{};
            Dynamics dynamics(model, valves, input, damper::RodInto::atmosphere);
            std::vector<double> y = dynamics.at_rest();
            y[0] += 0.4e-7;
            y[1] -= 0.3e-7;
            y[2] += 1e-7;
            y[dynamics.damper().intake_of().value()] = grip == Grip::out ? -2e-5 : 3e-5;
            motion::Modes modes = dynamics.modes();
            modes.grip = grip;
            if (moves)
                for (std::size_t place = 0; place < valves.at_place.size(); ++place) {
                    if (!valves.at_place[place]) continue;
                    modes.seating[place] = Seating::open;
                    const std::size_t lift = dynamics.damper().lift_of(place);
                    y[lift] = 0.2e-3;
                    y[lift + 1] = place % 2 == 0 ? 0.004 : -0.01;
                    if (const auto flow = dynamics.damper().flow_of(place)) y[*flow] = 3e-5;
                }
            dynamics.set(0, modes);
            check_jacobian(dynamics, 0.04, y);
        }
}

TEST_CASE("oil and energy balance where the reservoir's piston has mass", "[motion][piston]") {
    const bool moves = GENERATE(false, true);
    const double mass = GENERATE(0.03, 0.4);
    for (const damper::SetUp& layout : {samples::fork(), samples::shock()})
        for (const bool rubs : {false, true}) {
            CAPTURE(moves, mass, rubs, damper::name(layout.cartridge.layout));
            const double travel = layout.cartridge.travel;
            const Cycle cycle = run(rubs ? heavy(layout, mass) : smooth(layout, mass),
                                    Input::sine(0.5 * travel, 0.3 * travel, 3.0), moves);
            CHECK(cycle.balance.mass < 1e-10);
            CHECK(cycle.balance.energy < 1e-6);
            CHECK((cycle.energy.friction > 0.0) == rubs);
        }
}

TEST_CASE("the mass of the reservoir's piston is felt at the rod", "[motion][piston]") {
    // Where oil does not give, q = A_r v, and with I = m/A_s² the pressure in S is more by I A_r dv/dt, that
    // in C and R too: the force by (A_p − A_a) I A_r dv/dt = m (A_r/A_s)² dv/dt. Derived so, by hand.
    for (damper::SetUp layout : {samples::fork(), samples::shock()}) {
        layout.oil.bulk_modulus = 1e11;
        layout.oil.free_air = 1e-6;
        for (auto& valve : layout.valves.at_place)
            if (valve) valve->bleed = flow::Hole{.diameter = 4e-3, .count = 1};
        for (const double mass : {0.4, 0.1}) {
            CAPTURE(damper::name(layout.cartridge.layout), mass);
            const auto forces = [&](double of_piston) {
                damper::SetUp setup = samples::with_discs(smooth(layout, of_piston));
                for (auto& valve : setup.valves.at_place)
                    if (valve) valve->stack.floating->preload = 1e5; // bleeds alone
                const damper::Model model(setup, samples::disc_laws(setup));
                const Input input = Input::sine(0.05, 0.02, 5.0);
                motion::CycleOptions options;
                options.lead_in = false;
                options.least_loops = options.most_loops = 2;
                options.relative_error = 1e-9;
                options.pressure_error = 1e-3;
                return run_cycle(model, {}, input, options).series;
            };
            const std::vector<motion::Moment> without = forces(0.0);
            const std::vector<motion::Moment> with = forces(mass);
            REQUIRE(with.size() == without.size());
            const double omega = 2.0 * std::numbers::pi * 5.0;
            const double rod = damper::rod_area(layout.cartridge);
            const double areas = rod / damper::circle_area(layout.reservoir.diameter);
            const double most = mass * areas * areas * 0.01 * omega * omega;
            double worst = 0.0;
            for (std::size_t i = 0; i < with.size(); ++i) {
                const double expected = most * std::cos(omega * with[i].time);
                worst = std::max(worst, std::abs(with[i].force - without[i].force - expected));
            }
            CAPTURE(worst, most);
            CHECK(worst < 0.005 * most);
        }
    }
}

TEST_CASE("the lighter the reservoir's piston is the less it changes", "[motion][piston]") {
    // Where a valve opens the flow into S changes at once, by some Δq, without mass. With I = m/A_s² it rings
    // about that on the give c of the oil: pressures by Δq √(I/c), which goes with √m. That is the slowest
    // way in which the r.m.s. can fall: the ring lasts for 2 I/R, R of the base, which takes as much again,
    // and where it is braked within less than a swing all goes with m.
    for (const damper::SetUp& layout : {samples::fork(), samples::shock()}) {
        CAPTURE(damper::name(layout.cartridge.layout));
        const double travel = layout.cartridge.travel;
        const Input input = Input::sine(0.5 * travel, 0.2 * travel, 4.0);
        const Cycle without = run(smooth(layout, 0.0), input, false);
        double last = 1.0;
        for (const double mass : {0.4, 0.1, 0.025, 0.00625}) {
            const double here = apart(without, run(smooth(layout, mass), input, false));
            CAPTURE(mass, here, last);
            CHECK(here < 0.5 * last);
            last = here;
        }
        CHECK(last < 1e-4);
    }
}

TEST_CASE("a piston with mass stops at the ends of its way", "[motion][piston]") {
    for (const bool rubs : {false, true}) {
        CAPTURE(rubs);
        // Out to full extension, where its spring presses it on its stop.
        const damper::SetUp fork = rubs ? heavy(samples::fork(), 0.3) : smooth(samples::fork(), 0.3);
        const Cycle out = run(fork, Input::sine(0.05, 0.1, 5.0), true);
        CHECK(out.balance.energy < 1e-6);
        CHECK(out.balance.mass < 1e-10);
        // In until it has no more room, which ends a little beyond the travel.
        damper::SetUp shock = rubs ? heavy(samples::shock(), 0.3) : smooth(samples::shock(), 0.3);
        const double travel = shock.cartridge.travel;
        shock.reservoir.capacity = 1.0001 * damper::rod_area(shock.cartridge) * travel;
        const Cycle in = run(shock, Input::sine(0.799 * travel, 0.4 * travel, 10.0), true);
        CHECK(in.balance.energy < 1e-6);
        CHECK(std::any_of(in.moments.begin(), in.moments.end(),
                          [](const motion::Moment& moment) { return moment.reservoir_full; }));
        CHECK(in.energy.friction > 0.0); // of the blow, where nothing rubs
    }
}

TEST_CASE("cycles of random dampers whose reservoirs have heavy pistons end", "[motion][piston]") {
    constexpr int dampers = VALVE_SANITIZED ? 6 : 24;
    const tests::RandomCycles result =
        tests::run_random_cycles(dampers, 1, {.most_restitution = 0.8, .heavy_pistons = true});
    CAPTURE(result.refusals, result.faults);
    CHECK(result.faults.empty());
    CHECK(result.finished >= dampers / 2);
    CHECK(result.refused == 0);
    std::printf("counted: %d cycles of random dampers with heavy pistons\n", result.finished);
}

TEST_CASE("rides on random set-ups whose reservoirs have heavy pistons end", "[motion][piston][ride]") {
    constexpr int setups = VALVE_SANITIZED ? 6 : 24;
    const tests::RandomRides result = tests::run_random_rides(setups, 1, true);
    CAPTURE(result.refusals, result.faults);
    CHECK(result.faults.empty());
    CHECK(result.finished >= setups / 2);
    CHECK(result.refused == 0);
    std::printf("counted: %d rides on random set-ups with heavy pistons\n", result.finished);
}

TEST_CASE("mass of the reservoir's piston is part of what may swing", "[motion][piston][stability]") {
    const auto of_mass = [](double mass) {
        const damper::SetUp setup = samples::with_discs(smooth(samples::fork(), mass));
        const damper::Model model(setup, samples::disc_laws(setup));
        return motion::least_damped(model, samples::moving_discs(model), 0.5, 0.15).value();
    };
    const motion::Oscillation without = of_mass(0.0);
    const motion::Oscillation light = of_mass(1e-5);
    CHECK_THAT(light.growth, WithinRel(without.growth, 1e-2));
    CHECK_THAT(light.frequency, WithinRel(without.frequency, 1e-2));
    CHECK(std::abs(of_mass(0.3).growth - without.growth) > 1e-2 * std::abs(without.growth));
}
