#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/core/error.hpp>
#include <valve/damper/choose.hpp>
#include <valve/damper/linkage.hpp>
#include <valve/damper/sag.hpp>

#include <cmath>
#include <limits>
#include <numbers>
#include <numeric>
#include <vector>

using namespace valve;
using damper::AtEnd;
using damper::Linkage;
using damper::LinkageTable;
using damper::SupportLaw;

namespace {

const LinkageTable rising{{0.0, 0.08, 0.18, 0.28}, {0.0, 0.030, 0.074, 0.120}};

damper::Load load_on(const LinkageTable& table) {
    return {.sprung_mass = 64.0, .rider_mass = 92.0, .rider_share = 0.55, .linkage = table};
}

/// A shock of 120 mm with coil, stop and friction.
damper::SetUp shock() {
    damper::SetUp setup = samples::shock();
    setup.cartridge.travel = 0.12;
    setup.reservoir.gas_volume = 90e-6;
    setup.support = damper::Support{};
    setup.support->spring = damper::MainSpring{.rate = 60e3, .preload = 9e-3};
    setup.support->stop = damper::EndSpring{.rate = 95e3, .length = 18e-3};
    setup.support->friction = 28.0;
    setup.support->breakaway = 44.0;
    return setup;
}

/// What a unit gives way by per travel of the wheel, by differences of the energy that it takes up: no slope
/// of the linkage and no force has a part in it [N].
double force_at_wheel(const SupportLaw& law, const Linkage& linkage, double w, double friction) {
    constexpr double step = 1e-5;
    const auto energy = [&](double at) {
        const double x = linkage.at(at).travel;
        return law.at(x).energy + friction * x;
    };
    return (energy(w + step) - energy(w - step)) / (2.0 * step);
}

/// Where that is `weight`, by halving [m at the wheel].
double bisected(const SupportLaw& law, const Linkage& linkage, double weight, double friction, double low,
                double high) {
    for (int i = 0; i < 60; ++i) {
        const double middle = 0.5 * (low + high);
        (force_at_wheel(law, linkage, middle, friction) < weight ? low : high) = middle;
    }
    return 0.5 * (low + high);
}

constexpr double by_differences = 1e-7; // of a step of 10 µm, and of the rounding of the energies

/// A coil that gives 400 N and 1 N/mm more, over 300 mm; the rod is too thin to push.
damper::SetUp soft_coil() {
    damper::SetUp setup = samples::fork();
    setup.cartridge.rod = 1e-5;
    setup.support->leg.reset();
    setup.support->spring = damper::MainSpring{.rate = 1000.0, .preload = 0.4};
    return setup;
}

} // namespace

TEST_CASE("a linkage moves the unit by its table and its slope is that of its travel", "[damper][linkage]") {
    const Linkage linkage(load_on({{0.0, 0.1, 0.2, 0.3}, {0.0, 0.035, 0.076, 0.125}}));
    CHECK(linkage.at(0.1).travel == 0.035);
    for (const double w : {-0.01, 0.03, 0.16, 0.29, 0.32}) {
        const double step = 1e-6;
        const auto value = linkage.at(w);
        CHECK_THAT(value.slope,
                   WithinRel((linkage.at(w + step).travel - linkage.at(w - step).travel) / (2 * step), 1e-6));
        CHECK_THAT(value.curvature,
                   WithinAbs((linkage.at(w + step).slope - linkage.at(w - step).slope) / (2 * step), 1e-5));
        CHECK_THAT(linkage.wheel_travel(value.travel), WithinAbs(w, 1e-12));
        CHECK_THAT(linkage.at_travel(value.travel).slope, WithinRel(value.slope, 1e-11));
    }
}

// PchipInterpolator of SciPy 1.10, by the same rule at inner points: the middle one of three intervals rests
// on these alone. At the ends SciPy has a rule of three points, the linkage the secant.
TEST_CASE("a linkage is the monotone cubic of its points", "[damper][linkage]") {
    const Linkage linkage(load_on(rising));
    struct At {
        double w, travel, slope, curvature;
    };
    for (const At& at : {At{0.09, 0.0340972951517898, 0.41547851180587, 1.09678578261088},
                         At{0.13, 0.0514242209132558, 0.446626692845995, 0.460623269395356},
                         At{0.17, 0.0694881439057544, 0.452328373357499, -0.175539243820171}}) {
        const Linkage::Value value = linkage.at(at.w);
        CHECK_THAT(value.travel, WithinRel(at.travel, 1e-13));
        CHECK_THAT(value.slope, WithinRel(at.slope, 1e-13));
        CHECK_THAT(value.curvature, WithinRel(at.curvature, 1e-11));
    }
    CHECK_THAT(linkage.at(0.0).slope, WithinRel(0.030 / 0.08, 1e-14));
    CHECK_THAT(linkage.at(-0.02).slope, WithinRel(0.030 / 0.08, 1e-14));
    CHECK_THAT(linkage.at(0.28).slope, WithinRel(0.046 / 0.10, 1e-14));
    CHECK_THAT(linkage.at(0.30).travel, WithinRel(0.12 + 0.02 * 0.46, 1e-14));
}

TEST_CASE("a load has one of rake and motion ratio and linkage", "[damper][linkage]") {
    CHECK_THROWS_WITH(Linkage(damper::Load{}), contains_text("give one of"));
    damper::Load load = load_on(rising);
    CHECK(check(*load.linkage).empty());
    load.motion_ratio = 0.4;
    CHECK_THROWS_WITH(Linkage(load), contains_text("give one of"));
    load.motion_ratio.reset();
    load.rake = 0.4;
    CHECK_THROWS_WITH(Linkage(load), contains_text("give one of"));
    load.rake.reset();
    load.linkage->travel.pop_back();
    CHECK(check(*load.linkage).size() == 1);
    CHECK_THROWS_WITH(Linkage(load), contains_text("vehicle.linkage.travel: expected as many travels"));
    load.linkage->travel.push_back(0.05);
    CHECK_THROWS_WITH(Linkage(load), contains_text("vehicle.linkage.travel: expected two travels or more"));
    damper::SetUp setup = shock();
    setup.support->load = load_on(rising);
    CHECK(first_error(check(setup)) == nullptr);
    setup.support->load->motion_ratio = 0.4;
    CHECK(first_error(check(setup))->key == "support.load.linkage");
    CHECK(first_error(check(setup))->other_key == "support.load.motion_ratio");
}

TEST_CASE("a table that ends far from the travel of the unit gets a question", "[damper][linkage]") {
    damper::SetUp setup = shock();
    setup.support->load = load_on(rising);
    std::vector<double>& travel = setup.support->load->linkage->travel;
    travel.back() = 1.04 * setup.cartridge.travel;
    CHECK(check(setup).empty());
    travel.back() = 1.06 * setup.cartridge.travel;
    REQUIRE(check(setup).size() == 1);
    CHECK(check(setup).front().severity == Finding::Severity::warning);
    CHECK(check(setup).front().key == "support.load.linkage.travel");
}

TEST_CASE("a ratio that wavers as errors of measuring make it gets a question", "[damper][linkage]") {
    damper::SetUp setup = shock();
    setup.support->load = load_on(rising);
    damper::LinkageTable& table = *setup.support->load->linkage;
    // The ratio's steps between the points, by its last; the shock's travel is the same throughout.
    const auto asks = [&](const std::vector<double>& ratios) {
        const double sum = std::accumulate(ratios.begin(), ratios.end(), 0.0);
        table.wheel_travel = table.travel = {0.0};
        for (const double ratio : ratios) {
            table.wheel_travel.push_back(table.wheel_travel.back() +
                                         0.3 / static_cast<double>(ratios.size()));
            table.travel.push_back(table.travel.back() + ratio / sum * setup.cartridge.travel);
        }
        table.travel.back() = setup.cartridge.travel;
        return !check(setup).empty();
    };
    CHECK_FALSE(asks({1.0, 1.1, 1.2, 1.3, 1.4, 1.5}));            // rises
    CHECK_FALSE(asks({1.0, 1.1, 1.2, 1.1, 1.0, 0.9}));            // and falls
    CHECK_FALSE(asks({1.0, 1.1, 1.05, 1.0, 1.05, 1.1}));          // and rises again
    CHECK_FALSE(asks({1.0, 1.001, 1.0, 1.001, 1.0, 1.001, 1.0})); // by less than is felt
    CHECK(asks({1.0, 1.003, 1.0, 1.003, 1.0, 1.003, 1.0}));
    CHECK_FALSE(asks({1.0, 1.1, 1.2, 1.199, 1.3, 1.299, 1.4})); // rises, rounded
    CHECK(asks({1.0, 1.1, 1.05, 1.1, 1.05, 1.1}));
    CHECK(check(setup).front().key == "support.load.linkage.travel");
}

TEST_CASE("through a linkage the wheel rests where what it carries balances by virtual work",
          "[damper][linkage]") {
    const SupportLaw law(shock());
    const damper::Load load = load_on(rising);
    const Linkage linkage(load);
    for (const bool with_rider : {true, false}) {
        CAPTURE(with_rider);
        const double weight = mass_on_wheel(load, with_rider) * 9.80665;
        const damper::Sag found = sag(law, load, with_rider);
        const auto rests =
            [&](double friction) { // short of the stop, whose beginning differences would smear
                return bisected(law, linkage, weight, friction, 1e-3, 0.22);
            };
        CHECK(found.rest.at_end == AtEnd::no);
        CHECK_THAT(found.wheel_travel, WithinRel(rests(0.0), by_differences));
        CHECK_THAT(found.rest.travel, WithinRel(linkage.at(rests(0.0)).travel, by_differences));
        CHECK_THAT(found.least.travel, WithinRel(linkage.at(rests(44.0 + 20.0 * 64.0 / 529.0)).travel, 1e-7));
        CHECK_THAT(found.most.travel, WithinRel(linkage.at(rests(-44.0 - 20.0 * 64.0 / 529.0)).travel, 1e-7));
        CHECK_THAT(found.force, WithinRel(law.at(found.rest.travel).force, 1e-11));
        CHECK_THAT(found.force, WithinRel(force_of(load, with_rider, found.rest.travel), 1e-12));
    }
}

TEST_CASE("what a unit gives at the wheel does the work that it takes up", "[damper][linkage]") {
    const SupportLaw law(shock());
    const Linkage linkage(load_on(rising));
    for (const double w : {0.02, 0.07, 0.09, 0.15, 0.2, 0.27}) {
        const Linkage::Value unit = linkage.at(w);
        const damper::SupportPoint point = law.at(unit.travel);
        const ValueSlope at = at_wheel(unit, {point.force, point.slope});
        CHECK_THAT(at.value, WithinRel(force_at_wheel(law, linkage, w, 0.0), by_differences));
        const auto force = [&](double where) {
            return linkage.at(where).slope * law.at(linkage.at(where).travel).force;
        };
        constexpr double step = 1e-6;
        CHECK_THAT(at.slope, WithinRel((force(w + step) - force(w - step)) / (2.0 * step), 1e-6));
    }
}

TEST_CASE("the ride frequency through a linkage counts how its ratio changes", "[damper][linkage]") {
    const SupportLaw law(shock());
    const damper::Load load = load_on(rising);
    const Linkage linkage(load);
    const damper::Sag rest = sag(law, load, true);
    constexpr double step = 1e-5;
    const auto force = [&](double w) { return linkage.at(w).slope * law.at(linkage.at(w).travel).force; };
    const double rate = (force(rest.wheel_travel + step) - force(rest.wheel_travel - step)) / (2.0 * step);
    const double frequency = ride_frequency(law, load).value();
    CHECK_THAT(frequency, WithinRel(std::sqrt(rate / (64.0 + 0.55 * 92.0)) / (2.0 * std::numbers::pi), 1e-6));
    const double ratio = linkage.at(rest.wheel_travel).slope;
    const double by_ratio_alone =
        ratio * std::sqrt(law.at(rest.rest.travel).slope / (64.0 + 0.55 * 92.0)) / (2.0 * std::numbers::pi);
    CHECK(frequency > 1.01 * by_ratio_alone); // the ratio rises
}

TEST_CASE("a straight table is its ratio", "[damper][linkage]") {
    const damper::SetUp setup = shock();
    const SupportLaw law(setup);
    const damper::Load by_table = load_on({{0.0, 0.07, 0.2, 0.3}, {0.0, 0.028, 0.08, 0.12}});
    damper::Load by_ratio = by_table;
    by_ratio.linkage.reset();
    by_ratio.motion_ratio = 0.4;
    for (const bool with_rider : {true, false}) {
        const damper::Sag a = sag(law, by_table, with_rider);
        const damper::Sag b = sag(law, by_ratio, with_rider);
        CHECK_THAT(a.force, WithinRel(b.force, 1e-12));
        CHECK_THAT(a.rest.travel, WithinRel(b.rest.travel, 1e-12));
        CHECK_THAT(a.least.travel, WithinRel(b.least.travel, 1e-12));
        CHECK_THAT(a.most.travel, WithinRel(b.most.travel, 1e-12));
        CHECK_THAT(a.wheel_travel, WithinRel(b.wheel_travel, 1e-12));
    }
    CHECK_THAT(ride_frequency(law, by_table).value(),
               WithinRel(ride_frequency(law, by_ratio).value(), 1e-12));
    damper::SetUp table = setup;
    table.support->load = by_table;
    damper::SetUp ratio = setup;
    ratio.support->load = by_ratio;
    const damper::SupportGoal goal{.sag = 0.035, .free_sag = 0.015};
    const damper::Choice a = choose(table, goal, {{1e3, 1e6}, {0.0, 0.1}, {}});
    const damper::Choice b = choose(ratio, goal, {{1e3, 1e6}, {0.0, 0.1}, {}});
    CHECK_THAT(a.setup.support->spring->rate, WithinRel(b.setup.support->spring->rate, 1e-12));
    CHECK_THAT(a.setup.support->spring->preload, WithinRel(b.setup.support->spring->preload, 1e-12));
}

TEST_CASE("a spring is chosen for the ratio at the sag that is asked", "[damper][linkage][choose]") {
    damper::SetUp wanted = shock();
    wanted.support->load = load_on(rising);
    damper::SetUp start = wanted;
    wanted.support->spring = damper::MainSpring{.rate = 71e3, .preload = 6e-3};
    const SupportLaw law(wanted);
    const damper::SupportGoal goal{.sag = sag(law, *wanted.support->load, true).rest.travel,
                                   .free_sag = sag(law, *wanted.support->load, false).rest.travel};
    const damper::Choice choice = choose(start, goal, buildable(start));
    CHECK(choice.at_limit.empty());
    CHECK_THAT(choice.setup.support->spring->rate, WithinRel(71e3, 1e-9));
    CHECK_THAT(choice.setup.support->spring->preload, WithinRel(6e-3, 1e-9));
    CHECK_THAT(*choice.reached.sag, WithinRel(*goal.sag, 1e-9));
    CHECK_THAT(*choice.reached.free_sag, WithinRel(*goal.free_sag, 1e-9));
}

TEST_CASE("where a falling ratio lets the force at the wheel fall the first rest is told",
          "[damper][linkage]") {
    const SupportLaw law(soft_coil());
    // r F rises above 500 N at first, falls to some 100 N, and rises to more than 900 N.
    const LinkageTable dips{{0.0, 0.1, 0.3, 0.4}, {0.0, 0.1, 0.16, 0.3}};
    const auto of = [&](const LinkageTable& table, double weight) {
        damper::Load load = load_on(table);
        load.rider_share = 0.0;
        load.sprung_mass = weight / 9.80665;
        return load;
    };
    const auto crossings = [&](const damper::Load& load, double weight) {
        const Linkage linkage(load);
        std::vector<double> found;
        const auto excess = [&](double w) {
            return linkage.at(w).slope * law.at(linkage.at(w).travel).force - weight;
        };
        for (int i = 0; i < 3999; ++i)
            if ((excess(1e-4 * i) < 0.0) != (excess(1e-4 * (i + 1)) < 0.0)) found.push_back(1e-4 * i);
        return found;
    };
    for (const double weight : {450.0, 480.0, 500.0}) {
        CAPTURE(weight);
        const damper::Load load = of(dips, weight);
        const std::vector<double> all = crossings(load, weight);
        REQUIRE(all.size() == 3);
        const damper::Sag found = sag(law, load, false);
        CHECK(found.rest.at_end == AtEnd::no);
        CHECK_THAT(found.wheel_travel, WithinAbs(all.front() + 0.5e-4, 0.5e-4));
        CHECK(ride_frequency(law, load).value() > 0.0);
        CHECK_THAT(Linkage(load).at(found.wheel_travel).slope * law.at(found.rest.travel).force,
                   WithinRel(weight, 1e-11));
    }
    // Below the force at full extension it stays there, though it would rest deeper as well.
    CHECK(crossings(of(dips, 390.0), 390.0).size() == 2);
    CHECK(sag(law, of(dips, 390.0), false).rest.at_end == AtEnd::extended);
    // More than it carries at first: the only rest is deep; and none.
    REQUIRE(crossings(of(dips, 700.0), 700.0).size() == 1);
    CHECK_THAT(sag(law, of(dips, 700.0), false).wheel_travel,
               WithinAbs(crossings(of(dips, 700.0), 700.0).front() + 0.5e-4, 0.5e-4));
    CHECK(sag(law, of(dips, 2000.0), false).rest.at_end == AtEnd::compressed);
    // Full travel does not carry what rests before it.
    const LinkageTable falls{{0.0, 0.1, 0.4}, {0.0, 0.1, 0.16}};
    REQUIRE(crossings(of(falls, 450.0), 450.0).size() == 2);
    CHECK_THAT(sag(law, of(falls, 450.0), false).wheel_travel,
               WithinAbs(crossings(of(falls, 450.0), 450.0).front() + 0.5e-4, 0.5e-4));
}

TEST_CASE("a travel that is no number has no place at the wheel", "[damper][linkage]") {
    CHECK_THROWS_AS(Linkage(load_on(rising)).wheel_travel(std::numeric_limits<double>::quiet_NaN()),
                    SolveError);
}
