#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/damper/choose.hpp>
#include <valve/damper/geometry.hpp>

#include <algorithm>
#include <numbers>
#include <stdexcept>

using namespace valve;
using damper::Choice;
using damper::choose;
using damper::Chosen;
using damper::SupportGoal;
using damper::SupportLaw;

namespace {

damper::SetUp loaded_fork() {
    damper::SetUp setup = samples::fork();
    damper::Support& support = *setup.support;
    support.spring = damper::MainSpring{.rate = 4800.0, .preload = 6e-3};
    support.legs = 2;
    support.load = damper::Load{
        .sprung_mass = 70.0, .rider_mass = 90.0, .rider_share = 0.4, .rake = std::numbers::pi / 7.0};
    return setup;
}

damper::SetUp loaded_shock() {
    damper::SetUp setup = samples::shock();
    setup.support = damper::Support{};
    setup.support->spring = damper::MainSpring{.rate = 50e3, .preload = 8e-3};
    setup.support->load =
        damper::Load{.sprung_mass = 80.0, .rider_mass = 90.0, .rider_share = 0.6, .motion_ratio = 0.35};
    return setup;
}

bool holds(const std::vector<Chosen>& list, Chosen what) {
    return std::find(list.begin(), list.end(), what) != list.end();
}

/// The root of a bracket is found to rounding; what is left is that of the forces themselves.
constexpr double found = 1e-9;

/// What `setup` gives: the goal that leads back to it.
SupportGoal given(const damper::SetUp& setup) {
    const SupportLaw law(setup);
    const damper::Load& load = *setup.support->load;
    return {sag(law, load, true).rest.travel, sag(law, load, false).rest.travel,
            law.at(setup.cartridge.travel).force};
}

} // namespace

// Common practice, no source.
TEST_CASE("what can be built goes from half to twice the rate, and from 1 ml of oil to 1 ml of air",
          "[damper][choose]") {
    const damper::Buildable limits = buildable(loaded_fork());
    CHECK((limits.rate.low == 2400.0 && limits.rate.high == 9600.0));
    CHECK((limits.preload.low == 0.0 && limits.preload.high == 20e-3));
    CHECK(limits.oil.low == 1e-6);
    // The leg sweeps 300 mm of its 50 mm but for the rod's 12 mm.
    const double swept = 0.25 * std::numbers::pi * (50e-3 * 50e-3 - 12e-3 * 12e-3) * 0.3;
    CHECK_THAT(limits.oil.high, WithinRel(1050e-6 - swept - 1e-6, 1e-12));
}

TEST_CASE("a goal that some support meets leads back to it", "[damper][choose]") {
    damper::SetUp wanted = loaded_fork();
    wanted.support->spring = damper::MainSpring{.rate = 5600.0, .preload = 9e-3};
    wanted.support->leg->oil_volume = 391e-6;
    const damper::SetUp start = loaded_fork();
    const SupportGoal goal = given(wanted);

    SECTION("rate, preload and oil") {
        const Choice choice = choose(start, goal, buildable(start));
        CHECK(choice.at_limit.empty());
        CHECK(choice.chosen == std::vector{Chosen::rate, Chosen::preload, Chosen::oil});
        const damper::Support& support = *choice.setup.support;
        CHECK_THAT(support.spring->rate, WithinRel(5600.0, found));
        CHECK_THAT(support.spring->preload, WithinRel(9e-3, found));
        CHECK_THAT(support.leg->oil_volume, WithinRel(391e-6, found));
        CHECK_THAT(*choice.reached.sag, WithinRel(*goal.sag, found));
        CHECK_THAT(*choice.reached.free_sag, WithinRel(*goal.free_sag, found));
        CHECK_THAT(*choice.reached.end_force, WithinRel(*goal.end_force, found));
    }
    SECTION("the sag alone moves the rate alone") {
        const Choice choice = choose(start, {.sag = goal.sag}, buildable(start));
        CHECK(choice.chosen == std::vector{Chosen::rate});
        CHECK(choice.setup.support->spring->preload == 6e-3);
        CHECK(choice.setup.support->leg == start.support->leg);
        CHECK_THAT(*choice.reached.sag, WithinRel(*goal.sag, found));
    }
    SECTION("the force at the end alone moves the oil alone") {
        const Choice choice = choose(start, {.end_force = goal.end_force}, buildable(start));
        CHECK(choice.chosen == std::vector{Chosen::oil});
        CHECK(choice.setup.support->spring == start.support->spring);
        CHECK_THAT(*choice.reached.end_force, WithinRel(*goal.end_force, found));
    }
    SECTION("the free sag alone moves the preload alone") {
        const Choice choice = choose(start, {.free_sag = 0.04}, buildable(start));
        CHECK(choice.chosen == std::vector{Chosen::preload});
        CHECK(choice.setup.support->spring->rate == 4800.0);
        CHECK_THAT(*choice.reached.free_sag, WithinRel(0.04, found));
    }
    SECTION("free sag and force at the end move preload and oil") {
        const Choice choice =
            choose(start, {.free_sag = 0.04, .end_force = goal.end_force}, buildable(start));
        CHECK(choice.chosen == std::vector{Chosen::preload, Chosen::oil});
        CHECK_THAT(*choice.reached.free_sag, WithinRel(0.04, found));
        CHECK_THAT(*choice.reached.end_force, WithinRel(*goal.end_force, found));
    }
    SECTION("a dual-rate spring keeps the ratio of its rates") {
        damper::SetUp dual = start;
        dual.support->spring->second = damper::SecondRate{.rate = 7200.0, .from = 0.05};
        damper::SetUp stiffer = dual;
        stiffer.support->spring->rate *= 1.1;
        stiffer.support->spring->second->rate *= 1.1;
        stiffer.support->spring->preload = 9e-3;
        SupportGoal sags = given(stiffer);
        sags.end_force.reset();
        const Choice choice = choose(dual, sags, buildable(dual));
        const damper::MainSpring& spring = *choice.setup.support->spring;
        CHECK_THAT(spring.rate, WithinRel(1.1 * 4800.0, found));
        CHECK_THAT(spring.second->rate, WithinRel(1.1 * 7200.0, found));
        CHECK_THAT(spring.preload, WithinRel(9e-3, found));
    }
}

TEST_CASE("in a shock the force at the end sets the preload", "[damper][choose]") {
    damper::SetUp wanted = loaded_shock();
    wanted.support->spring = damper::MainSpring{.rate = 62e3, .preload = 12e-3};
    const SupportGoal goal = given(wanted);
    const damper::SetUp start = loaded_shock();
    const Choice choice = choose(start, {.sag = goal.sag, .end_force = goal.end_force}, buildable(start));
    CHECK_THAT(choice.setup.support->spring->rate, WithinRel(62e3, found));
    CHECK_THAT(choice.setup.support->spring->preload, WithinRel(12e-3, found));
    CHECK_THROWS_WITH(choose(start, goal, buildable(start)), contains_text("not for both"));
    const Choice alone = choose(start, {.end_force = goal.end_force}, buildable(start));
    CHECK(alone.chosen == std::vector{Chosen::preload});
    CHECK(alone.setup.support->spring->rate == 50e3);
}

TEST_CASE("what cannot be built gives the nearest, and says which value stands in the way",
          "[damper][choose]") {
    const damper::SetUp start = loaded_fork();
    damper::Buildable limits = buildable(start);
    limits.preload.high = 0.1;
    const SupportGoal goal{.sag = 0.07, .free_sag = 0.035, .end_force = 6000.0};
    CHECK(choose(start, goal, limits).at_limit.empty());

    SECTION("preload: the sag is kept, the free sag not") {
        limits.preload = {0.0, 1e-3};
        const Choice choice = choose(start, goal, limits);
        CHECK(choice.at_limit == std::vector{Chosen::preload});
        CHECK(choice.setup.support->spring->preload == 1e-3);
        CHECK_THAT(*choice.reached.sag, WithinRel(0.07, found));
        CHECK_THAT(*choice.reached.end_force, WithinRel(6000.0, found));
        CHECK(*choice.reached.free_sag > 0.036);
    }
    SECTION("rate: preload makes up for it") {
        limits.rate = {4900.0, 5000.0};
        const Choice choice = choose(start, goal, limits);
        CHECK(holds(choice.at_limit, Chosen::rate));
        CHECK_THAT(*choice.reached.sag, WithinRel(0.07, found));
    }
    SECTION("no preload at all, where any rate would have to fall with travel") {
        limits.preload = {0.0, 0.0};
        damper::SetUp unchanged_by_rider = start;
        unchanged_by_rider.support->load->rider_share = 0.0;
        const Choice choice = choose(unchanged_by_rider, {.sag = 0.07, .free_sag = 0.035}, limits);
        CHECK(holds(choice.at_limit, Chosen::preload));
        CHECK(choice.setup.support->spring->preload == 0.0);
    }
    SECTION("oil: the sag is kept, the force at the end not") {
        limits.oil = {300e-6, 350e-6};
        const Choice choice = choose(start, goal, limits);
        CHECK(choice.at_limit == std::vector{Chosen::oil});
        CHECK_THAT(*choice.reached.sag, WithinRel(0.07, found));
        CHECK(choice.setup.support->leg->oil_volume == 350e-6);
        CHECK(*choice.reached.end_force < 6000.0);
    }
    SECTION("everything at once") {
        limits.rate = {1000.0, 1100.0};
        limits.preload.high = 20e-3;
        limits.oil = {300e-6, 310e-6};
        const Choice choice = choose(start, goal, limits);
        CHECK(choice.at_limit.size() == 3);
        CHECK(*choice.reached.sag > 0.07); // too soft for it
    }
}

TEST_CASE("goals that cannot be meant are refused", "[damper][choose]") {
    damper::SetUp setup = loaded_fork();
    const damper::Buildable limits = buildable(setup);
    CHECK_THROWS_WITH(choose(setup, {.sag = 0.31}, limits), contains_text("310 mm"));
    CHECK_THROWS_WITH(choose(setup, {}, limits), contains_text("nothing is asked"));
    CHECK_THROWS_WITH(choose(setup, {.sag = 0.0}, limits), contains_text("sag"));
    CHECK_THROWS_WITH(choose(setup, {.sag = 0.05, .free_sag = 0.06}, limits), contains_text("less than"));
    damper::Buildable drowned = limits;
    drowned.oil = {600e-6, 700e-6};
    CHECK_THROWS_WITH(choose(setup, {.sag = 0.05, .end_force = 6000.0}, drowned), contains_text("no air"));
    damper::Buildable slack = limits;
    slack.rate.low = 0.0;
    CHECK_THROWS_WITH(choose(setup, {.sag = 0.05}, slack), contains_text("rate.low: 0 N/mm"));
    setup.support->load.reset();
    CHECK_THROWS_WITH(choose(setup, {.sag = 0.05}, limits), contains_text("support.load: missing"));
    setup.support->spring.reset();
    CHECK_THROWS_WITH(buildable(setup), contains_text("support.spring: missing"));
    CHECK_THROWS_WITH(choose(setup, {.sag = 0.05}, limits), contains_text("support.spring: missing"));
}
