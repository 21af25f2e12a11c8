#include <damper/poor_numbers.hpp>
#include <damper/samples.hpp>
#include <support/catch.hpp>
#include <valve/core/findings.hpp>
#include <valve/damper/lift_cache.hpp>
#include <valve/damper/support.hpp>
#include <valve/stack/solution.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdio>
#include <limits>
#include <set>
#include <string>
#include <vector>

// Every number of every struct that a caller fills, set to what is not finite, to 0 and to -1.

using namespace valve;
using namespace valve::testing;
using damper::Place;

namespace {

// A closed-cartridge fork with every part that there is.
damper::SetUp whole_fork() {
    damper::SetUp setup = samples::fork();
    damper::Cartridge& cartridge = setup.cartridge;
    cartridge.end_of_stroke =
        damper::EndCup{.plug = 20e-3, .length = 30e-3, .gap = 0.1e-3, .entry_gap = 0.2e-3, .hole = 1e-3};
    cartridge.top_out =
        damper::EndCup{.plug = 18e-3, .length = 10e-3, .gap = 0.1e-3, .entry_gap = 0.1e-3, .hole = 1e-3};
    setup.reservoir.capacity = 60e-6;
    flow::Valve& check_valve = *setup.valves[Place::base_refill];
    check_valve.stack.floating = stack::Float{.travel = 1.2e-3,
                                              .spring_rate = 800.0,
                                              .preload = 2.0,
                                              .ring_radius = 4.5e-3,
                                              .spring_radius = 4.5e-3,
                                              .stop_radius = 4.5e-3,
                                              .adjuster = stack::SpringAdjuster{2.0, 0.5e-3, 4.0}};
    check_valve.stack.bore_radius = 4e-3;
    check_valve.stack.windows = 4;
    check_valve.stack.coverage = 0.5;
    check_valve.curtain_length = 40e-3;
    check_valve.ports.length = 12e-3;
    flow::Valve& rebound = *setup.valves[Place::piston_rebound];
    rebound.stack.shims.front().material.yield_strength = 1800e6;
    rebound.stack.shims.front().material.fatigue_limit = 700e6;
    damper::Support& support = *setup.support;
    support.spring =
        damper::MainSpring{.rate = 4800.0, .preload = 6e-3, .second = damper::SecondRate{6000.0, 0.15}};
    support.leg->column = damper::OilColumn{46e-3, 14e-3, 0.4, 60e-6, 0.5};
    support.top_out = damper::EndSpring{20e3, 20e-3};
    support.stop = damper::EndSpring{200e3, 20e-3};
    support.friction = 25.0;
    support.breakaway = 30.0;
    support.legs = 2;
    support.load = damper::Load{
        .sprung_mass = 90.0, .rider_mass = 85.0, .rider_share = 0.45, .rake = 0.45, .motion_ratio = {}};
    return setup;
}

damper::SetUp whole_shock() {
    damper::SetUp setup = samples::shock();
    setup.valves[Place::piston_compression]->bleed = flow::Hole{.diameter = 1e-3, .count = 2};
    setup.valves[Place::piston_rebound]->bleed = flow::Notch{.area = 0.5e-6, .depth = 0.15e-3};
    setup.support = damper::Support{};
    setup.support->load = damper::Load{
        .sprung_mass = 110.0, .rider_mass = 85.0, .rider_share = 0.55, .rake = {}, .motion_ratio = 0.42};
    setup.reservoir.stroke = 45e-3;
    return setup;
}

// A shock with a bladder, a rigid disc on the piston and a linkage.
damper::SetUp bladder_shock() {
    damper::SetUp setup = samples::shock();
    setup.reservoir = {.kind = damper::ReservoirKind::bladder, .gas_volume = 80e-6, .gas_pressure = 8e5};
    setup.support = damper::Support{};
    setup.support->load = damper::Load{
        .sprung_mass = 110.0, .linkage = damper::LinkageTable{{0.0, 0.06, 0.12}, {0.0, 0.025, 0.055}}};
    stack::Stack& stack = setup.valves[Place::piston_compression]->stack;
    stack = {.shims = {},
             .disc = stack::Disc{.outer_radius = 10.5e-3, .mass = 5e-3},
             .zone = {5e-3, 9.5e-3},
             .seat = {9.5e-3, 10e-3, 0.0},
             .floating = stack::Float{.travel = 1e-3, .spring_rate = 5e3, .preload = 5.0}};
    return setup;
}

damper::SetUp open_fork() {
    damper::SetUp setup = samples::fork();
    setup.cartridge.layout = damper::Layout::open_cartridge;
    setup.reservoir = {.kind = damper::ReservoirKind::leg};
    return setup;
}

struct Sample {
    const char* name;
    damper::SetUp setup;
};

std::vector<Sample> all_samples() {
    return {{"fork", whole_fork()},
            {"shock", whole_shock()},
            {"bladder", bladder_shock()},
            {"open", open_fork()}};
}

/// Where zero can be computed, and why.
struct ZeroIsFine {
    const char* path; ///< its end
    const char* why;
    const char* only = ""; ///< name of the sample, or all
};

constexpr std::array zeros{
    ZeroIsFine{"oil.free_air", "none"},
    ZeroIsFine{"oil.expansion", "none"},
    ZeroIsFine{"material.poisson_ratio", "no strain across, as of cork"},
    ZeroIsFine{"stack.windows", "the whole ring", "shock"},
    ZeroIsFine{"stack.windows", "the whole ring", "bladder"},
    ZeroIsFine{"stack.windows", "the whole ring", "open"},
    ZeroIsFine{"stack.windows", "the whole ring", "fork"},
    ZeroIsFine{"stack.bore_radius", "a clamped stack and a disc have none", "shock"},
    ZeroIsFine{"stack.bore_radius", "a clamped stack and a disc have none", "bladder"},
    ZeroIsFine{"stack.bore_radius", "a clamped stack and a disc have none", "open"},
    ZeroIsFine{"stack.bore_radius", "a clamped stack has none; the fork's floated one is refused", "fork"},
    ZeroIsFine{"stack.zone.inner_radius", "from the middle on", "shock"},
    ZeroIsFine{"stack.zone.inner_radius", "from the middle on", "bladder"},
    ZeroIsFine{"stack.zone.inner_radius", "from the middle on", "open"},
    ZeroIsFine{"stack.zone.inner_radius", "from the middle on; the fork's floated one is refused", "fork"},
    ZeroIsFine{"stack.seat.height", "level with the hub"},
    ZeroIsFine{"stack.clamp_radius", "a disc has none", "bladder"},
    ZeroIsFine{"stack.disc.mass", "not stated"},
    ZeroIsFine{"floating.ring_radius", "a disc has none", "bladder"},
    ZeroIsFine{"floating.spring_radius", "a disc has none", "bladder"},
    ZeroIsFine{"floating.stop_radius", "a disc has none", "bladder"},
    ZeroIsFine{"floating.spring_rate", "a coil without rate, warned of", "bladder"},
    ZeroIsFine{"floating.preload", "none"},
    ZeroIsFine{"floating.adjuster.turns", "fully in"},
    ZeroIsFine{"jet_force", "none"},
    ZeroIsFine{"ports.length", "the oil in them follows at once"},
    ZeroIsFine{"shim_friction", "none"},
    ZeroIsFine{"restitution", "stops dead"},
    ZeroIsFine{"bleed[0].clicks", "shut"},
    ZeroIsFine{"ring_leak.gap", "sealed"},
    ZeroIsFine{"ring_leak.eccentricity", "concentric"},
    ZeroIsFine{"end_of_stroke.gap", "sealed but for the hole"},
    ZeroIsFine{"top_out.gap", "sealed but for the hole"},
    ZeroIsFine{"reservoir.diameter", "without piston", "bladder"},
    ZeroIsFine{"reservoir.diameter", "without piston", "open"},
    ZeroIsFine{"reservoir.spring_rate", "none"},
    ZeroIsFine{"reservoir.preload", "none"},
    ZeroIsFine{"reservoir.friction", "none"},
    ZeroIsFine{"reservoir.mass", "it follows at once"},
    ZeroIsFine{"reservoir.back_pressure", "without spring", "shock"},
    ZeroIsFine{"reservoir.back_pressure", "without spring", "bladder"},
    ZeroIsFine{"reservoir.back_pressure", "without spring", "open"},
    ZeroIsFine{"reservoir.gas_volume", "without gas of its own", "fork"},
    ZeroIsFine{"reservoir.gas_volume", "without gas of its own", "open"},
    ZeroIsFine{"reservoir.gas_pressure", "without gas of its own", "fork"},
    ZeroIsFine{"reservoir.gas_pressure", "without gas of its own", "open"},
    ZeroIsFine{"reservoir.exponent", "without gas of its own", "fork"},
    ZeroIsFine{"reservoir.exponent", "without gas of its own", "open"},
    ZeroIsFine{"support.spring.preload", "none"},
    ZeroIsFine{"support.spring.second.from", "from full extension"},
    ZeroIsFine{"leg.oil_volume", "none"},
    ZeroIsFine{"leg.column.inside", "nothing"},
    ZeroIsFine{"leg.column.spring_volume", "none"},
    ZeroIsFine{"support.friction", "none"},
    ZeroIsFine{"support.breakaway", "none", "shock"},
    ZeroIsFine{"support.breakaway", "none", "bladder"},
    ZeroIsFine{"support.breakaway", "none", "open"},
    ZeroIsFine{"load.rider_mass", "none"},
    ZeroIsFine{"load.rider_share", "none"},
    ZeroIsFine{"load.rake", "upright"},
    ZeroIsFine{"linkage.wheel_travel", "the first is none"},
    ZeroIsFine{"linkage.travel", "the first is none"},
};

bool zero_is_fine(const std::string& path, const std::string& sample) {
    return std::any_of(zeros.begin(), zeros.end(), [&](const ZeroIsFine& row) {
        return path.ends_with(row.path) && (std::string(row.only).empty() || sample == row.only);
    });
}

/// Paths of optionals that are set, and of those that are not.
struct Seen {
    std::set<std::string> numbers;
    std::set<std::string> unset;

    void operator()(const std::string& where, double&) { numbers.insert(where); }
    void operator()(const std::string& where, int&) { numbers.insert(where); }
    void operator()(const std::string& where) { unset.insert(where); }
};

} // namespace

TEST_CASE("every number of a set-up that cannot be is refused before anything is solved", "[damper][check]") {
    int refused = 0;
    int fine = 0;
    for (const Sample& sample : all_samples()) {
        INFO(sample.name);
        REQUIRE(key_of(check(sample.setup)) == "no error");
        const damper::LiftLaws laws = samples::bending_laws(sample.setup);
        const auto look = [&](const damper::SetUp& changed, const std::string& path, double value,
                              bool is_whole) {
            INFO(sample.name << " " << path << " = " << value);
            const Findings findings = check(changed);
            if (value == 0.0 && first_error(findings) == nullptr) {
                CHECK(zero_is_fine(path, sample.name));
                const damper::Model model(changed, laws);
                for (const double speed : {-0.5, 0.5}) {
                    try {
                        CHECK(std::isfinite(steady_point(model, speed, 0.1).force));
                    } catch (const SolveError& error) {
                        CHECK(std::string(error.what()).size() > 20);
                    }
                }
                ++fine;
                return;
            }
            check_refused(findings, value, is_whole, path);
            CHECK_THROWS_AS(damper::Model(changed, laws), InputError);
            const std::string& key = first_error(findings)->key;
            if (changed.support && !key.starts_with("oil.") && !key.starts_with("valves."))
                CHECK_THROWS_AS(damper::SupportLaw(changed), InputError);
            for (const std::optional<flow::Valve>& valve : changed.valves.at_place) {
                if (!valve || first_error(stack::check(valve->stack)) == nullptr) continue;
                damper::LiftCache cache;
                CHECK_THROWS_AS(cache.curve(valve->stack), std::invalid_argument);
            }
            ++refused;
        };
        each_poor(sample.setup, look);
    }
    std::printf("counted: %d poor numbers of set-ups refused, %d zeros that are fine\n", refused, fine);
    CHECK(refused > 1500);
}

TEST_CASE("every zero that is said to be fine is", "[damper][check]") {
    std::set<std::string> met;
    for (const Sample& sample : all_samples()) {
        each_poor(sample.setup, [&](const damper::SetUp& changed, const std::string& path, double value,
                                    bool) {
            if (value != 0.0 || first_error(check(changed)) != nullptr) return;
            for (const ZeroIsFine& row : zeros)
                if (path.ends_with(row.path) && (std::string(row.only).empty() || row.only == sample.name))
                    met.insert(std::string(row.path) + " " + row.only);
        });
    }
    for (const ZeroIsFine& row : zeros) {
        INFO(row.path << " of " << row.only << ": " << row.why);
        CHECK(met.contains(std::string(row.path) + " " + row.only));
    }
}

TEST_CASE("no number of a set-up is left out of the samples", "[damper][check]") {
    Seen seen;
    for (Sample& sample : all_samples())
        testing::walk("", sample.setup, seen);
    for (const std::string& path : seen.unset) {
        if (path == "valves.at_place") continue; // a place without valve
        INFO(path << " is never set");
        CHECK(std::any_of(seen.numbers.begin(), seen.numbers.end(),
                          [&](const std::string& number) { return number.starts_with(path); }));
    }
    CHECK(seen.numbers.size() > 90);
}

TEST_CASE("every number of an option that cannot be is refused", "[damper][check]") {
    const auto refuses = [](const auto& sound, const std::vector<std::string>& fine) {
        REQUIRE(key_of(check(sound)) == "no error");
        each_poor(sound, [&](const auto& changed, const std::string& path, double value, bool is_whole) {
            INFO(path << " = " << value);
            const std::string allowed = fmt::format("{} {:g}", path, value);
            if (std::find(fine.begin(), fine.end(), allowed) != fine.end())
                CHECK(key_of(check(changed)) == "no error");
            else
                check_refused(check(changed), value, is_whole, path);
        });
    };
    refuses(stack::FollowOptions{}, {});
    stack::ModesOptions modes;
    modes.pressure = 1e5;
    refuses(modes, {"pressure 0", "oil_density 0", "most_diameters 0"});
    damper::CurveOptions curve;
    curve.speeds = {1.0};
    curve.travel = 0.1;
    refuses(curve, {"speeds 0", "speeds -1", "travel 0"});
    refuses(damper::SupportGoal{.sag = 70e-3, .free_sag = 30e-3, .end_force = 5e3}, {"end_force 0"});
    refuses(damper::Buildable{{1e3, 9e3}, {1e-3, 20e-3}, {1e-4, 4e-4}}, {"preload.low 0", "oil.low 0"});
    refuses(damper::MeasuredRun{.kind = damper::MeasuredForce::rod,
                                .points = {{1.0, 100.0, 3, damper::SpeedTrend::gaining}}},
            {"points.speed 0", "points.speed -1", "points.force 0", "points.force -1"});
    refuses(plate::Material{206e9, 0.3, 7850.0, 1.8e9, 0.7e9}, {"poisson_ratio 0"});
}

TEST_CASE("what is asked with options that cannot be is not solved", "[damper][check]") {
    const damper::SetUp setup = samples::fork();
    const damper::Model model(setup, samples::bending_laws(setup));
    for (const double poor : {not_a_number, infinity, -infinity}) {
        damper::CurveOptions options;
        options.speeds = {poor};
        CHECK_THROWS_AS(steady_curve(model, options), InputError);
        damper::MeasuredRun run{damper::MeasuredForce::rod, {{1.0, poor, 1}}};
        CHECK_THROWS_AS(deviations(model, run, 0.1, damper::RodInto::atmosphere), InputError);
        const stack::Stack& stack = setup.valves[Place::piston_rebound]->stack;
        CHECK_THROWS_AS(stack::Solution(stack, {.max_pressure = poor}), std::invalid_argument);
        const stack::Solution solution(stack);
        CHECK_THROWS_AS(solution.at(poor), std::invalid_argument);
        stack::ModesOptions modes;
        modes.pressure = poor;
        CHECK_THROWS_AS(solution.modes(modes), std::invalid_argument);
    }
}
