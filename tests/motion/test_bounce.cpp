#include <motion/discs.hpp>
#include <motion/random_cycle.hpp>
#include <support/catch.hpp>
#include <valve/motion/cycle.hpp>

#include <algorithm>
#include <cstdio>

using namespace valve;
using damper::Place;
using motion::Cycle;
using motion::Input;

namespace {

/// A fork with discs, or a shock, each of whose plates keeps the share `restitution` of its speed.
Cycle cycle_of(const damper::SetUp& layout, double restitution, double frequency, bool inertia = true) {
    damper::SetUp setup = samples::with_discs(layout);
    if (!inertia) setup = samples::without_inertia(setup);
    for (auto& valve : setup.valves.at_place)
        if (valve) valve->restitution = restitution;
    const damper::Model model(setup, samples::disc_laws(setup));
    const double travel = setup.cartridge.travel;
    return run_cycle(model, samples::moving_discs(model), Input::sine(0.5 * travel, 0.3 * travel, frequency));
}

/// How often the valve at `place` meets lift `where`, and leaves it again at the same moment [-].
int blows(const Cycle& cycle, Place place, double where) {
    int count = 0;
    const auto lift = [&](std::size_t i) {
        return cycle.moments[i].valves.at(static_cast<std::size_t>(place)).lift;
    };
    for (std::size_t i = 1; i + 1 < cycle.moments.size(); ++i)
        if (std::abs(lift(i) - where) < 1e-12 && cycle.moments[i].time == cycle.moments[i - 1].time &&
            std::abs(lift(i + 1) - where) > 1e-12)
            ++count;
    return count;
}

} // namespace

TEST_CASE("oil and energy balance where plates bounce, and blows cost what bounces lack",
          "[motion][bounce]") {
    const bool inertia = GENERATE(true, false);
    for (const damper::SetUp& layout : {samples::fork(), samples::shock()})
        for (const double restitution : {0.0, 0.4, 0.8}) {
            CAPTURE(inertia, damper::name(layout.cartridge.layout), restitution);
            const Cycle cycle = cycle_of(layout, restitution, 6.0, inertia);
            CHECK(cycle.periodic);
            CHECK(cycle.balance.mass < 1e-10);
            CHECK(cycle.balance.energy < 1e-6);
            CHECK(cycle.impacts > 0.0);
        }
}

TEST_CASE("a plate that keeps none of its speed never leaves its stop at once, one that keeps some does",
          "[motion][bounce]") {
    CHECK(blows(cycle_of(samples::fork(), 0.0, 6.0), Place::piston_compression, 0.4e-3) == 0);
    CHECK(blows(cycle_of(samples::fork(), 0.6, 6.0), Place::piston_compression, 0.4e-3) > 2);
}

TEST_CASE("cycles of random dampers whose plates bounce end", "[motion][bounce]") {
    constexpr int dampers = VALVE_SANITIZED ? 6 : 24;
    const tests::RandomCycles result = tests::run_random_cycles(dampers, 1, {.most_restitution = 0.8});
    CAPTURE(result.refusals, result.faults);
    CHECK(result.faults.empty());
    CHECK(result.finished >= dampers / 2);
    CHECK(result.refused == 0);
    std::printf("counted: %d cycles of random dampers whose plates bounce\n", result.finished);
}
