#include <motion/discs.hpp>
#include <support/catch.hpp>
#include <valve/study/cycle.hpp>

#include <cmath>
#include <cstddef>
#include <functional>
#include <numbers>
#include <stdexcept>
#include <utility>
#include <vector>

using namespace valve;
using namespace valve::study;
using damper::Place;

namespace {

constexpr int steps = 16;        // of a loop
constexpr double period = 0.25;  // [s]
constexpr double back = 1e-6;    // through an open check, against it [m³/s]
constexpr double under = 0.2e-6; // of that under its disc

/// What the check of a fork does in one loop of a sine from full extension, or of as much travel once, if it
/// is open at those of the steps that `is_open` says.
ValveInCycle check_of(const std::function<bool(int)>& is_open, bool periodic, bool once = false) {
    const damper::SetUp setup = samples::with_discs(samples::fork());
    const damper::Model model(setup, samples::disc_laws(setup));
    constexpr double stroke = 20e-3;
    motion::Cycle cycle;
    cycle.periodic = periodic;
    cycle.oil_mass = 1.0;
    std::vector<double> times;
    std::vector<double> travels;
    for (int k = 0; k <= steps; ++k) {
        const double phase = 2.0 * std::numbers::pi * k / steps;
        motion::Moment moment;
        moment.time = period * k / steps;
        moment.travel = 50e-3 - 0.5 * stroke * std::cos(phase);
        moment.speed = 0.5 * stroke * 2.0 * std::numbers::pi / period * std::sin(phase);
        if (k % (steps / 2) == 0) moment.speed = 0.0;
        if (is_open(k))
            moment.valves[static_cast<std::size_t>(Place::base_refill)] = {1e-4, 0.0, -back, -under};
        cycle.moments.push_back(moment);
        times.push_back(moment.time);
        travels.push_back(moment.travel);
    }
    cycle.series = cycle.moments;
    const motion::Input input =
        once ? motion::Input::trace(times, travels) : motion::Input::sine(50e-3, stroke, 1.0 / period);
    for (const ValveInCycle& valve :
         figures_of(model, input, damper::RodInto::atmosphere, std::move(cycle)).valves)
        if (valve.place == Place::base_refill) return valve;
    throw std::logic_error("a fork has a check");
}

} // namespace

TEST_CASE("what ran back through a check that never shuts is not told", "[study][cycle]") {
    const ValveInCycle check = check_of([](int) { return true; }, true);
    CHECK_FALSE(check.shut_after);
    CHECK_FALSE(check.run_back);
    CHECK_FALSE(check.run_back_curtain);
    // Nor where all that is known ends before it shuts.
    const ValveInCycle once = check_of([](int k) { return k > steps / 2; }, false, true);
    CHECK_FALSE(once.shut_after);
    CHECK_FALSE(once.run_back);
}

TEST_CASE("what ran back through a check is told round the loop of a sine", "[study][cycle]") {
    // Open on the way out and at the first two of the steps on the way in, shut from the third on.
    const auto is_open = [](int k) { return k < 2 || k > steps / 2; };
    const bool periodic = GENERATE(true, false);
    const ValveInCycle check = check_of(is_open, periodic);
    constexpr double step = period / steps;
    CHECK_THAT(check.shut_after.value(), WithinRel(2.0 * step, 1e-12));
    CHECK_THAT(check.run_back.value(), WithinRel(1.5 * step * back, 1e-12)); // trapezia
    CHECK_THAT(check.run_back_curtain.value(), WithinRel(1.5 * step * under, 1e-12));
}

TEST_CASE("nothing runs back through a check that is shut before the reversal", "[study][cycle]") {
    const ValveInCycle check = check_of([](int k) { return k > steps / 2 && k < steps - 1; }, true);
    CHECK(check.shut_after.value() < 0.0);
    CHECK(check.run_back == 0.0);
    const ValveInCycle never = check_of([](int) { return false; }, true);
    CHECK_FALSE(never.shut_after);
    CHECK(never.run_back == 0.0);
}
