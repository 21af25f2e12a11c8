#include <support/catch.hpp>
#include <valve/damper/steady.hpp>
#include <valve/setup/document.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/cycle.hpp>
#include <valve/study/evaluation.hpp>

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

using namespace valve;
using namespace valve::study;

namespace {

damper::LiftCache& lifts() {
    static damper::LiftCache cache({.shape = stack::Shape::round});
    return cache;
}

damper::SetUp demo(const std::string& name, const std::vector<setup::Override>& overrides = {}) {
    return setup::read(setup::Document::load(VALVE_SOURCE_DIR "/stacks/" + name + ".yaml", overrides))
        .unit.value();
}

CycleFigures at_4_Hz(const damper::SetUp& unit) {
    CycleQuestion question;
    question.inputs = {
        motion::Input::sine(0.5 * unit.cartridge.travel, usual_stroke(unit), 4.0),
    };
    const CycleStudy study = cycle_study(unit, lifts(), question);
    REQUIRE_FALSE(study.failed());
    return study.cycles.front();
}

/// The damping force by its steady value over the stroke out, from the reversal to the peak speed, and the
/// travel since the reversal.
struct Share {
    double travel = 0.0;
    double share = 0.0;
};

std::vector<Share> shares_out(const damper::SetUp& unit, const CycleFigures& cycle) {
    const damper::Model model = lifts().model(unit);
    std::vector<Share> list;
    std::optional<double> reversal;
    for (const motion::Moment& moment : cycle.cycle.moments) {
        if (moment.speed >= -1e-9) {
            if (moment.speed > -1e-9 && list.empty()) reversal = moment.travel;
            continue;
        }
        if (!reversal || -moment.speed > 0.999 * cycle.peak_speed) break;
        const damper::SteadyPoint steady = damper::steady_point(model, moment.speed, moment.travel);
        list.push_back(
            {*reversal - moment.travel, (moment.force - steady.static_force) / steady.damping_force});
    }
    return list;
}

} // namespace

// By the definition alone, from the moments of the cycle and the steady forces beside them.
TEST_CASE("dead travel that hangs on a dip is told with what it is but for the dip", "[study][cycle]") {
    const damper::SetUp soft = demo("rally-fork-softer-check");
    const CycleFigures cycle = at_4_Hz(soft);
    REQUIRE(cycle.dead_travel_rebound);
    REQUIRE(cycle.but_for_dips_rebound);
    CHECK_FALSE(cycle.but_for_dips_compression); // the force comes up once
    // A figure of it carries the same, each stroke its own.
    FigureRequest request{Quantity::dead_travel_rebound};
    request.frequency = 4.0;
    Evaluation of(soft, {}, lifts());
    const Figure out = evaluate(of, request);
    CHECK(out.but_for_dips == of.cycle(4.0).but_for_dips_rebound);
    CHECK(out.but_for_dips.has_value());
    request.quantity = Quantity::dead_travel_compression;
    CHECK_FALSE(evaluate(of, request).but_for_dips);
    const double for_good = *cycle.dead_travel_rebound;
    const double but_for_dips = *cycle.but_for_dips_rebound;
    CHECK(for_good - but_for_dips > least_dip);
    double lowest = 1.0;
    int after = 0;
    int shortly_before = 0;
    for (const auto& [travel, share] : shares_out(soft, cycle)) {
        CAPTURE(travel, share);
        constexpr double rounding = 1e-6;
        if (travel > but_for_dips + rounding) lowest = std::min(lowest, share);
        if (travel > for_good + rounding) {
            CHECK(share > 0.9 - rounding);
            ++after;
        }
        if (travel < but_for_dips - rounding && travel > 0.9 * but_for_dips) {
            CHECK(share < 0.9);
            ++shortly_before;
        }
    }
    CHECK(lowest < 0.9);
    CHECK(lowest > shallow_dip);
    CHECK(after > 0);
    CHECK(shortly_before > 0);

    const CycleFigures hard = at_4_Hz(demo("rally-fork"));
    CHECK(hard.dead_travel_rebound);
    CHECK_FALSE(hard.but_for_dips_rebound);
}

TEST_CASE("where dead travel jumps from one setting to the next it does not but for dips", "[study][cycle]") {
    const auto with_preload = [](const std::string& preload) {
        return at_4_Hz(demo("rally-fork", {{"valves.base.refill.shims", "[26 x 0.10]"},
                                           {"valves.base.refill.float.preload", preload}}));
    };
    const CycleFigures light = with_preload("1 N");
    const CycleFigures heavy = with_preload("22 N");
    REQUIRE(light.but_for_dips_rebound);
    CHECK_FALSE(heavy.but_for_dips_rebound);
    CHECK(*light.dead_travel_rebound - *heavy.dead_travel_rebound > 1e-3);
    CHECK_THAT(*light.but_for_dips_rebound, WithinAbs(*heavy.dead_travel_rebound, 0.1e-3));
}

TEST_CASE("a disc at its stop is lifted as far as its travel", "[study][cycle]") {
    const std::string key = "valves.base.refill.";
    const CycleFigures cycle = at_4_Hz(demo("rally-fork", {{key + "shims", "null"},
                                                           {key + "material", "null"},
                                                           {key + "disc.diameter", "26 mm"},
                                                           {key + "disc.mass", "6 g"},
                                                           {key + "float.travel", "0.2 mm"},
                                                           {key + "float.rate", "2 N/mm"},
                                                           {key + "float.preload", "2 N"}}));
    const auto check = std::find_if(cycle.valves.begin(), cycle.valves.end(), [](const ValveInCycle& valve) {
        return valve.place == damper::Place::base_refill;
    });
    REQUIRE(check != cycle.valves.end());
    CHECK(check->largest_lift == 0.2e-3);
}

TEST_CASE("at constant speed nothing is told of dips", "[study][cycle]") {
    const damper::SetUp soft = demo("rally-fork-softer-check");
    CycleQuestion question;
    question.inputs = {motion::Input::triangle(0.15, 0.06, 4.0)};
    const CycleStudy study = cycle_study(soft, lifts(), question);
    REQUIRE_FALSE(study.failed());
    CHECK(study.cycles.front().dead_travel_rebound);
    CHECK_FALSE(study.cycles.front().but_for_dips_rebound);
}

TEST_CASE("what a trace that ends elsewhere stores is not told as lost or as heat", "[study][cycle]") {
    const damper::SetUp shock = demo("rally-shock");
    const auto run = [&](const std::vector<double>& times, const std::vector<double>& travels) {
        CycleQuestion question;
        question.inputs = {motion::Input::trace(times, travels)};
        question.valves = motion::Valves::quasi_static;
        const CycleStudy study = cycle_study(shock, lifts(), question);
        REQUIRE_FALSE(study.failed());
        return study.cycles.front();
    };
    const auto parts = [](const CycleFigures& cycle) {
        double sum = cycle.base_bleeds + cycle.piston_bleeds + cycle.friction + cycle.cups;
        for (const ValveInCycle& valve : cycle.valves)
            sum += valve.energy;
        return sum;
    };
    const CycleFigures inwards = run({0.0, 10.0}, {0.02, 0.11});
    CHECK_THAT(inwards.lost, WithinRel(parts(inwards), 1e-12));
    CHECK(inwards.energy > 2.0 * inwards.lost); // the gas takes the rest
    CHECK_THAT(inwards.heating, WithinRel(inwards.lost / 10.0, 1e-12));
    const CycleFigures to_and_fro = run({0.0, 2.0, 4.0, 6.0}, {0.02, 0.11, 0.02, 0.02});
    CHECK_THAT(to_and_fro.lost, WithinRel(to_and_fro.energy, 1e-3));
}
