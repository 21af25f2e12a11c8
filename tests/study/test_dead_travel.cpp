#include <support/catch.hpp>
#include <valve/damper/steady.hpp>
#include <valve/setup/document.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/cycle.hpp>
#include <valve/study/dead_travel.hpp>
#include <valve/study/evaluation.hpp>

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>
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

/// Moments of a rod, stroke after stroke, each half a wave of the speed.
class Rod {
public:
    explicit Rod(const damper::Model& model) : m_model(model) { add(0.0, 1.0); }

    /// A stroke of `length`, positive into compression, at `speed` at its fastest; the damping force has
    /// `share` of its steady value for the first `dead` of it, then all [m, m/s].
    Rod& stroke(double length, double speed, double dead, double share = 0.5) {
        return stroke(length, speed, [=](double gone) { return gone < dead ? share : 1.0; });
    }

    /// The same with a share of its own after each travel from the reversal [m].
    Rod& stroke(double length, double speed, const std::function<double(double)>& share) {
        const double from = m_travel;
        const double sign = length > 0.0 ? 1.0 : -1.0;
        constexpr int steps = 400;
        const double duration = 0.5 * std::numbers::pi * std::abs(length) / speed; // mean speed: 2/π
        for (int k = 1; k < steps; ++k) {
            const double phase = std::numbers::pi * k / steps;
            m_travel = from + 0.5 * length * (1.0 - std::cos(phase));
            m_time += duration / steps;
            add(sign * speed * std::sin(phase), share(std::abs(m_travel - from)));
        }
        m_travel = from + length;
        m_time += duration / steps;
        add(0.0, 1.0);
        return *this;
    }

    /// Of the fastest stroke one way.
    DeadTravel dead(double sign) const {
        return dead_travel(m_model, damper::RodInto::atmosphere, m_moments, *fastest(m_moments, sign), sign);
    }

    ReversalsInto into(double sign) const {
        return reversals_into(m_model, damper::RodInto::atmosphere, m_moments, sign);
    }

private:
    void add(double speed, double share) {
        const damper::SteadyPoint steady = damper::steady_point(m_model, speed, m_travel);
        motion::RodMoment moment;
        moment.time = m_time;
        moment.travel = m_travel;
        moment.speed = speed;
        moment.force = steady.static_force + share * steady.damping_force;
        m_moments.push_back(moment);
    }

    const damper::Model& m_model;
    double m_time = 0.0;
    double m_travel = 0.1;
    std::vector<motion::RodMoment> m_moments;
};

constexpr double spacing = 0.4e-3; // of a rod's moments, at most [m]

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

TEST_CASE("a dip is told of where it is shallow and makes a twentieth of a millimetre", "[study][cycle]") {
    const damper::Model model = lifts().model(demo("rally-fork"));
    // Half the force for 1 mm, all of it for another, a dip for a third.
    const auto dipped_to = [&](double dip) {
        return Rod(model)
            .stroke(-0.02, 1.0, 0.0)
            .stroke(0.02, 1.0,
                    [=](double gone) {
                        if (gone < 1e-3) return 0.5;
                        return gone > 2e-3 && gone < 3e-3 ? dip : 1.0;
                    })
            .dead(1.0);
    };
    CHECK_THAT(dipped_to(0.81).for_good.value(), WithinAbs(3e-3, 0.1e-3));
    CHECK_THAT(dipped_to(0.81).but_for_dips.value(), WithinAbs(1e-3, 0.1e-3));
    CHECK_THAT(dipped_to(0.79).for_good.value(), WithinAbs(3e-3, 0.1e-3));
    CHECK_FALSE(dipped_to(0.79).but_for_dips);
    // Up to 90 % at 0.2 mm, a little above and as much below, and up again `later` [m].
    const auto dead = [&](double later) {
        const auto share = [=](double gone) {
            const double since = (gone - 0.2e-3) / later;
            if (since < 0.25) return 0.9 + 0.2 * std::max(since, -2.0);
            return since < 0.75 ? 1.0 - 0.2 * since : std::min(1.0, 0.7 + 0.2 * since);
        };
        return Rod(model).stroke(-6e-3, 1.0, 0.0).stroke(6e-3, 1.0, share).dead(1.0);
    };
    CHECK(dead(0.056e-3).but_for_dips);
    CHECK_FALSE(dead(0.044e-3).but_for_dips);
    CHECK_THAT(dead(0.044e-3).for_good.value(), WithinAbs(0.244e-3, 0.005e-3));
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

TEST_CASE("of the reversals of a ride the one with the most dead travel is told", "[study][ride]") {
    const damper::Model model = lifts().model(demo("rally-fork"));
    Rod rod(model);
    rod.stroke(0.05, 1.0, 0.0)
        .stroke(-0.04, 0.8, 0.001)
        .stroke(0.04, 1.0, 0.003)
        .stroke(-0.06, 1.2, 0.006)
        .stroke(0.03, 0.7, 0.002);
    const ReversalsInto in = rod.into(1.0);
    CHECK(in.count == 2); // the first stroke leaves its rest
    CHECK(in.not_back == 0);
    CHECK_THAT(in.dead_travel.value(), WithinAbs(0.003, spacing));
    CHECK_THAT(in.travel, WithinAbs(0.11, 1e-12));
    CHECK_THAT(in.time, WithinRel(0.5 * std::numbers::pi * (0.05 / 1.0 + 0.04 / 0.8), 1e-12));
    const ReversalsInto out = rod.into(-1.0);
    CHECK(out.count == 2);
    CHECK_THAT(out.dead_travel.value(), WithinAbs(0.006, spacing));
    CHECK_THAT(out.travel, WithinAbs(0.15, 1e-12));
}

TEST_CASE("a reversal without damping before the greatest speed is counted and has no dead travel",
          "[study][ride]") {
    const damper::Model model = lifts().model(demo("rally-fork"));
    Rod rod(model);
    rod.stroke(0.03, 1.0, 0.0)
        .stroke(-0.03, 0.8, 0.0)
        .stroke(0.03, 1.0, 0.02, 0.85)
        .stroke(-0.03, 0.8, 0.029);
    CHECK(rod.into(1.0).count == 1);
    CHECK(rod.into(1.0).not_back == 1);
    CHECK_FALSE(rod.into(1.0).dead_travel);
    CHECK(rod.into(-1.0).not_back == 1);
    CHECK(rod.into(-1.0).dead_travel == 0.0); // at the other reversal the force is there at once
}

TEST_CASE("what is short or slow, or goes on as before, is no reversal", "[study][ride]") {
    const damper::Model model = lifts().model(demo("rally-fork"));
    CHECK(Rod(model).stroke(0.02, 1.0, 0.0).stroke(0.02, 1.0, 0.003).into(1.0).count == 0); // it stuck
    CHECK(Rod(model).stroke(-0.02, 1.0, 0.0).stroke(0.004, 1.0, 0.001).into(1.0).count == 0);
    CHECK(Rod(model).stroke(-0.02, 1.0, 0.0).stroke(0.02, 0.09, 0.001).into(1.0).count == 0);
    const Rod whole = Rod(model).stroke(-0.02, 1.0, 0.0).stroke(0.02, 1.0, 0.001);
    CHECK(whole.into(1.0).count == 1);
    // From 5 mm and 0.1 m/s on.
    const auto counted = [&](double length, double speed) {
        return Rod(model).stroke(-0.02, 1.0, 0.0).stroke(length, speed, 0.001).into(1.0).count;
    };
    CHECK(counted(0.0049, 1.0) == 0);
    CHECK(counted(0.0051, 1.0) == 1);
    CHECK(counted(0.02, 0.099) == 0);
    CHECK(counted(0.02, 0.101) == 1);
    // Nor is what a rod turns by as it comes to stick.
    CHECK(Rod(model).stroke(0.02, 1.0, 0.0).stroke(-1e-8, 1e-6, 0.0).stroke(0.02, 1.0, 0.0).into(1.0).count ==
          0);
}
