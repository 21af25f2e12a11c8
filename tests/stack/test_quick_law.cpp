#include <support/catch.hpp>
#include <valve/setup/read.hpp>
#include <valve/stack/quick_law.hpp>
#include <valve/stack/solution.hpp>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <random>

using namespace valve;
using stack::Stack;

namespace {

/// A taper over the base valve of the demo fork, or over its mid-valve, which floats.
Stack random_taper(std::mt19937& random, bool floated) {
    const setup::Reading fork =
        setup::read(setup::Document::load(VALVE_SOURCE_DIR "/stacks/rally-fork.yaml"));
    const damper::Place place = floated ? damper::Place::piston_compression : damper::Place::base_compression;
    Stack stack = fork.unit->valves[place]->stack;
    const plate::Material strip = stack.shims.front().material;
    const auto pick = [&](std::initializer_list<double> values) {
        return std::data(values)[std::uniform_int_distribution<std::size_t>(0, values.size() - 1)(random)];
    };
    double outer = floated ? 21e-3 : 24e-3;
    stack.shims.clear();
    const int faces = std::uniform_int_distribution<int>(1, 6)(random);
    const double thickness = pick({0.10e-3, 0.15e-3, 0.20e-3});
    for (int i = 0; i < faces; ++i)
        stack.shims.push_back({0.5 * outer, thickness, strip});
    const int others = std::uniform_int_distribution<int>(0, 5)(random);
    for (int i = 0; i < others; ++i) {
        outer = std::max(outer - pick({1e-3, 2e-3, 3e-3}), floated ? 11e-3 : 14e-3);
        stack.shims.push_back({0.5 * outer, pick({0.10e-3, 0.15e-3, 0.20e-3}), strip});
    }
    if (floated) stack.floating->travel = pick({0.1e-3, 0.3e-3, 0.6e-3});
    return stack;
}

} // namespace

// Against the full solution of this library, which has its own checks against the outside. What counts for a
// search is the lift where oil flows: 5 um are added to what the miss is measured by.
TEST_CASE("a quick law is near the full one", "[stack][quick]") {
    std::mt19937 random(11);
    double worst = 0.0;
    for (int i = 0; i < 16; ++i) {
        const Stack stack = random_taper(random, i % 2 == 1);
        const stack::Solution full(stack);
        const stack::LiftLaw quick = stack::quick_law(stack);
        const double end = std::min(quick.max_pressure(), full.law().max_pressure());
        CHECK(end > 0.7 * full.law().max_pressure());
        double miss = 0.0;
        double least = 0.0;
        for (double p = 1e4; p < end; p *= 1.05) {
            const double lift = full.law().at(p).lift;
            miss = std::max(miss, std::abs(quick.at(p).lift - lift) / (lift + 5e-6));
            CHECK(quick.at(p).lift >= least);
            least = quick.at(p).lift;
        }
        INFO("stack " << i);
        CHECK(miss < 0.04);
        worst = std::max(worst, miss);
    }
    std::printf("counted: quick laws within %.1f %% of the full ones\n", 100.0 * worst);
}

TEST_CASE("a quick law of a rigid disc, and of linear plates", "[stack][quick]") {
    const setup::Reading shock =
        setup::read(setup::Document::load(VALVE_SOURCE_DIR "/stacks/rally-shock.yaml"));
    const Stack& disc = shock.unit->valves[damper::Place::base_compression]->stack;
    REQUIRE(disc.disc);
    const stack::Solution full(disc);
    for (const double p : {1e5, 15.7e5, 16e5, 30e5})
        CHECK(stack::quick_law(disc).at(p).lift == full.law().at(p).lift);

    std::mt19937 random(3);
    const Stack taper = random_taper(random, false);
    const stack::FollowOptions linear{stack::Theory::linear, 100e5};
    const stack::Solution solved(taper, linear);
    const stack::LiftLaw quick = stack::quick_law(taper, linear);
    for (double p = 5e5; p < 100e5; p *= 1.3)
        CHECK_THAT(quick.at(p).lift, Catch::Matchers::WithinAbs(solved.law().at(p).lift, 2e-6) ||
                                         Catch::Matchers::WithinRel(solved.law().at(p).lift, 0.01));
    Stack bad = taper;
    bad.shims.clear();
    CHECK_THROWS_AS(stack::quick_law(bad), std::invalid_argument);
}
