#include <damper/samples.hpp>
#include <motion/bent.hpp>
#include <motion/discs.hpp>
#include <support/catch.hpp>
#include <valve/damper/steady.hpp>
#include <valve/motion/cycle.hpp>
#include <valve/study/cycle.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <string>
#include <vector>

using namespace valve;
using motion::Cycle;
using motion::Input;
using motion::run_cycle;

namespace {

void check_balances(const Cycle& cycle) {
    CHECK(cycle.balance.mass < 1e-10);
    CHECK(cycle.balance.energy < 1e-6);
    CHECK(cycle.work > 0.0);
    double area = 0.0; // of the loop, by trapezia
    for (std::size_t i = 1; i < cycle.series.size(); ++i)
        area += 0.5 * (cycle.series[i].force + cycle.series[i - 1].force) *
                (cycle.series[i].travel - cycle.series[i - 1].travel);
    CHECK_THAT(area, WithinRel(cycle.work, 2e-3));
}

damper::Model bending(const damper::SetUp& setup) {
    return {setup, samples::bending_laws(setup)};
}

damper::Model discs(const damper::SetUp& setup) {
    return {samples::with_discs(setup), samples::disc_laws(samples::with_discs(setup))};
}

damper::SetUp open_cartridge() {
    damper::SetUp setup = samples::fork();
    setup.cartridge.layout = damper::Layout::open_cartridge;
    setup.reservoir = {.kind = damper::ReservoirKind::leg};
    return setup;
}

damper::SetUp twin_tube() {
    damper::SetUp setup = samples::fork();
    setup.cartridge.layout = damper::Layout::twin_tube;
    setup.cartridge.travel = 0.15;
    setup.reservoir = {
        .kind = damper::ReservoirKind::bladder, .gas_volume = 120e-6, .gas_pressure = p_atm + 3e5};
    return setup;
}

void check_steady(const damper::Model& model, const motion::Moment& moment) {
    const damper::SteadyPoint steady = damper::steady_point(model, moment.speed, moment.travel);
    CHECK_THAT(moment.force, WithinRel(steady.force, 1e-3));
    CHECK_THAT(moment.force - steady.static_force, WithinRel(steady.damping_force, 1e-3));
}

} // namespace

TEST_CASE("oil and energy balance in every layout, with valves that follow at once", "[motion][cycle]") {
    for (const damper::SetUp& setup : {samples::fork(), samples::shock(), open_cartridge(), twin_tube()}) {
        CAPTURE(damper::name(setup.cartridge.layout));
        const damper::Model model = bending(setup);
        const double stroke = 0.4 * setup.cartridge.travel;
        const Cycle cycle =
            run_cycle(model, {}, Input::sine(0.5 * setup.cartridge.travel, stroke, 0.5 / stroke / 3.0));
        CHECK(cycle.periodic);
        check_balances(cycle);
    }
}

TEST_CASE("where a void closes late the last loop is as the one after it", "[motion][cycle]") {
    // A check that opens too hard: what is left of the start dies away by a third a loop, and the spikes of a
    // void that closes make much of it.
    damper::SetUp setup = samples::with_discs(samples::fork());
    stack::Float& check = *setup.valves[damper::Place::base_refill]->stack.floating;
    check.spring_rate = 120e3;
    check.preload = 60.0;
    const damper::Model model(setup, samples::disc_laws(setup));
    const motion::Input input = motion::Input::sine(0.15, 0.06, 12.0);
    motion::CycleOptions options;
    const Cycle last = motion::run_cycle(model, {}, input, options);
    REQUIRE(last.periodic);
    options.least_loops = last.loops + 1;
    const Cycle next = motion::run_cycle(model, {}, input, options);
    CHECK(last.loops > 3);
    using motion::Moment;
    for (double Moment::*member : {&Moment::force, &Moment::p_C, &Moment::p_R, &Moment::p_S}) {
        double least = last.series.front().*member;
        double most = least;
        double apart = 0.0;
        for (std::size_t i = 0; i < last.series.size(); ++i) {
            least = std::min(least, last.series[i].*member);
            most = std::max(most, last.series[i].*member);
            apart = std::max(apart, std::abs(next.series[i].*member - last.series[i].*member));
        }
        CHECK(apart < 1e-3 * (most - least));
    }
}

TEST_CASE("energy closes while friction holds the reservoir and its base has no bleed", "[motion][cycle]") {
    // What a valve of the base lets by then has no way back but the little that tells where the piston is
    // pressed; left out of the losses, that opened the balance by 1e-5.
    damper::SetUp setup = samples::fork();
    setup.valves[damper::Place::base_compression]->bleed.reset();
    const damper::Model model = discs(setup);
    const Cycle cycle = run_cycle(model, samples::moving_discs(model), Input::sine(0.15, 0.06, 1.0));
    check_balances(cycle);
}

TEST_CASE("oil and energy balance in every layout, with valves that move", "[motion][cycle]") {
    for (const damper::SetUp& setup : {samples::fork(), samples::shock(), open_cartridge(), twin_tube()}) {
        CAPTURE(damper::name(setup.cartridge.layout));
        const damper::Model model = discs(setup);
        const double stroke = 0.3 * setup.cartridge.travel;
        const Cycle cycle = run_cycle(model, samples::moving_discs(model),
                                      Input::sine(0.5 * setup.cartridge.travel, stroke, 0.5 / stroke / 3.0));
        CHECK(cycle.periodic);
        check_balances(cycle);
        for (const damper::Place place : damper::all_places)
            if (model.setup().valves[place])
                CHECK(std::any_of(cycle.moments.begin(), cycle.moments.end(),
                                  [&](const motion::Moment& moment) {
                                      return moment.valves.at(static_cast<std::size_t>(place)).lift > 1e-5;
                                  }));
    }
}

TEST_CASE("slow cycles without free air run along the steady curve", "[motion][cycle]") {
    damper::SetUp setup = samples::fork();
    setup.oil.free_air = 0.0;
    for (const bool moving : {false, true}) {
        CAPTURE(moving);
        const damper::Model model = moving ? discs(setup) : bending(setup);
        motion::CycleOptions options;
        options.samples = 80;
        const Cycle cycle = run_cycle(model, moving ? samples::moving_discs(model) : motion::MovingValves{},
                                      Input::sine(0.15, 0.1, 0.05), options);
        for (const int phase : {14, 20, 26, 54, 60, 66}) {
            const motion::Moment& moment = cycle.series.at(static_cast<std::size_t>(phase));
            CAPTURE(moment.speed);
            check_steady(model, moment);
        }
    }
}

TEST_CASE("slow cycles of stacks in waves run along their steady curve, and of round ones along theirs",
          "[motion][cycle][uneven]") {
    damper::SetUp setup = samples::thin_fork();
    setup.oil.free_air = 0.0;
    damper::LiftCache bent;
    damper::LiftCache round = bent.as_round();
    for (const bool bends : {true, false}) {
        damper::LiftCache& cache = bends ? bent : round;
        const damper::Model model = cache.model(setup);
        for (const bool moves : {false, true}) {
            CAPTURE(bends, moves);
            motion::CycleOptions options;
            options.samples = 80;
            const Cycle cycle =
                run_cycle(model, moves ? motion::moving_valves(model, cache) : motion::MovingValves{},
                          Input::sine(0.15, 0.28, 0.4), options);
            check_balances(cycle);
            int in_waves = 0;
            for (const int phase : {14, 20, 26, 54, 60, 66}) {
                const motion::Moment& moment = cycle.series.at(static_cast<std::size_t>(phase));
                CAPTURE(moment.speed);
                check_steady(model, moment);
                for (const damper::Place place : damper::all_places) {
                    const flow::ValveLaw::Bent law = bent.bent(*setup.valves[place]);
                    const double begin = law->from(20e5).value();
                    const double lift = moment.valves.at(static_cast<std::size_t>(place)).lift;
                    if (lift > 1.05 * law->solution().law().at(begin).lift) ++in_waves;
                }
            }
            CHECK(in_waves > 4);
        }
    }
}

TEST_CASE("round and bent cycles agree where nothing buckles", "[motion][cycle][uneven]") {
    damper::SetUp setup = samples::fork();
    for (const damper::Place place : damper::all_places)
        setup.valves[place]->stack.shims.front().thickness = 0.3e-3;
    damper::LiftCache bent;
    damper::LiftCache round = bent.as_round();
    const damper::Model bent_model = bent.model(setup);
    const damper::Model round_model = round.model(setup);
    const Input input = Input::sine(0.15, 0.05, 2.0);
    const Cycle one = run_cycle(bent_model, motion::moving_valves(bent_model, bent), input);
    const Cycle other = run_cycle(round_model, motion::moving_valves(round_model, round), input);
    CHECK(one.steps == other.steps);
    CHECK(one.work == other.work); // to the last digit
    REQUIRE(one.series.size() == other.series.size());
    for (std::size_t i = 0; i < one.series.size(); i += 13)
        CHECK(one.series[i].force == other.series[i].force);
}

TEST_CASE("a sticking reservoir piston holds its oil until friction gives way", "[motion][cycle]") {
    const damper::Model model = bending(samples::fork());
    const Cycle cycle = run_cycle(model, {}, Input::sine(0.15, 0.05, 1.0));
    const double friction = model.reservoir().friction_pressure();
    int stuck = 0;
    for (const motion::Moment& moment : cycle.moments) {
        if (moment.base_flow != 0.0) continue;
        ++stuck;
        CHECK_THAT(moment.p_S, WithinAbs(moment.p_C, 1e-3));
    }
    CHECK(stuck > 5);
    // The friction turns 2 F_f/A_s into heat for each litre that goes in and comes out.
    const double through = std::numbers::pi / 4.0 * 12e-3 * 12e-3 * 0.05;
    CHECK_THAT(cycle.energy.friction, WithinRel(2.0 * friction * through, 0.02)); // the oil gives a little
}

TEST_CASE("a void grows, and the next stroke has to close it first", "[motion][cycle]") {
    damper::SetUp setup = samples::fork();
    setup.reservoir.friction = 0.0;
    setup.reservoir.preload = 5.0;
    setup.valves[damper::Place::base_refill]->ports.area_each = 1.5e-6;
    const damper::Model model = bending(setup);
    const Cycle cycle = run_cycle(model, {}, Input::sine(0.1, 0.08, 4.0));
    check_balances(cycle);
    const auto largest = std::max_element(
        cycle.moments.begin(), cycle.moments.end(),
        [](const motion::Moment& a, const motion::Moment& b) { return a.void_C < b.void_C; });
    CHECK(largest->void_C > 1e-7);
    CHECK(largest->p_C < model.oil().cavitation_pressure);
    CHECK(largest->p_C > 0.0);
}

TEST_CASE("triangle, ramp and trace are run as well", "[motion][cycle]") {
    const damper::Model model = bending(samples::fork());
    check_balances(run_cycle(model, {}, Input::triangle(0.15, 0.05, 2.0)));
    const Cycle ramp = run_cycle(model, {}, Input::ramp(0.15, 0.08, 0.5));
    check_balances(ramp);
    CHECK(ramp.loops == 1);
    const damper::SteadyPoint steady = damper::steady_point(model, 0.5, ramp.moments.back().travel);
    CHECK_THAT(ramp.moments.back().force, WithinRel(steady.force, 0.01)); // the oil's compliance
    std::vector<double> times;
    std::vector<double> travels;
    for (int i = 0; i <= 200; ++i) {
        times.push_back(i * 0.005);
        travels.push_back(0.15 - 0.03 * std::cos(2.0 * std::numbers::pi * times.back()) +
                          0.002 * std::sin(40.0 * times.back()));
    }
    const Cycle trace = run_cycle(model, {}, Input::trace(times, travels));
    CHECK(trace.balance.mass < 1e-10);
    CHECK(trace.balance.energy < 1e-6);
}

TEST_CASE("a trace that is written only while the rod moves is run as one with even times",
          "[motion][cycle]") {
    const damper::Model model = bending(samples::fork());
    const auto run = [&](const std::vector<double>& times) {
        std::vector<double> travels;
        for (const double t : times) { // two hits of 60 ms within 4 s
            const double since = t < 2.0 ? t - 1.0 : t - 3.0;
            const bool moves = since > 0.0 && since < 0.06;
            const double phase = 2.0 * std::numbers::pi * since / 0.06;
            travels.push_back(0.15 + (moves ? 0.01 * (1.0 - std::cos(phase)) : 0.0));
        }
        return run_cycle(model, {}, Input::trace(times, travels));
    };
    std::vector<double> even;
    std::vector<double> uneven{0.0};
    for (int i = 0; i <= 4000; ++i) {
        even.push_back(i * 1e-3);
        const bool moves = (i >= 1000 && i <= 1060) || (i >= 3000 && i <= 3060);
        if (moves) uneven.push_back(even.back());
    }
    uneven.push_back(4.0);
    const Cycle all = run(even);
    const Cycle few = run(uneven);
    CHECK(all.work > 10.0); // [J]
    CHECK_THAT(few.work, WithinRel(all.work, 1e-4));
    const auto hardest = [](const Cycle& cycle) {
        double force = 0.0;
        for (const motion::Moment& moment : cycle.moments)
            force = std::max(force, moment.force);
        return force;
    };
    CHECK_THAT(hardest(few), WithinRel(hardest(all), 1e-3));
}

TEST_CASE("the work of a rod that does not come back is that of its force over its way", "[motion][cycle]") {
    // Into the air of the leg, whose pressure is several times as high at the end of the way.
    const damper::Model model = bending(samples::fork());
    std::vector<double> times;
    std::vector<double> travels;
    constexpr int points = 100;
    for (int i = 0; i <= points; ++i) {
        times.push_back(i * 0.01);
        travels.push_back(0.15 - 0.14 * std::cos(std::numbers::pi * i / points));
    }
    motion::CycleOptions options;
    options.rod_into = GENERATE(damper::RodInto::leg, damper::RodInto::atmosphere);
    const Cycle cycle = run_cycle(model, {}, Input::trace(times, travels), options);
    double work = 0.0;
    for (std::size_t i = 1; i < cycle.moments.size(); ++i)
        work += 0.5 * (cycle.moments[i].force + cycle.moments[i - 1].force) *
                (cycle.moments[i].travel - cycle.moments[i - 1].travel);
    CHECK_THAT(cycle.work, WithinRel(work, 1e-3)); // trapezia
}

TEST_CASE("all valves of a damper move or none", "[motion][cycle]") {
    const damper::Model model = discs(samples::fork());
    const Input input = Input::sine(0.15, 0.02, 1.0);
    for (const damper::Place place : damper::all_places) {
        motion::MovingValves lacking = samples::moving_discs(model);
        lacking[place].reset();
        CHECK_THROWS_WITH(run_cycle(model, lacking, input),
                          contains_text(std::string(damper::name(place)) + " is missing"));
    }
    const damper::Model shock = discs(samples::shock()); // without a base
    const Input shorter = Input::sine(0.05, 0.02, 1.0);
    CHECK_THROWS_WITH(run_cycle(shock, samples::moving_discs(model), shorter),
                      contains_text("has no base.compression"));
    CHECK_THROWS_AS(run_cycle(shock, samples::moving_discs(model), shorter), std::invalid_argument);
}

TEST_CASE("a disc at its stop is not beyond the end of its curve", "[motion][cycle]") {
    const damper::Model model = discs(samples::fork());
    motion::CycleOptions options;
    options.least_loops = options.most_loops = 2;
    const Cycle cycle = run_cycle(model, samples::moving_discs(model), Input::sine(0.15, 0.06, 4.0), options);
    bool stopped = false;
    for (const motion::Moment& moment : cycle.moments) {
        stopped = stopped || moment.valves[2].lift >= 0.4e-3;
        CHECK_FALSE(moment.beyond_curve);
    }
    CHECK(stopped);
}

TEST_CASE("results do not hang on the tolerance", "[motion][cycle]") {
    const damper::Model model = discs(samples::fork());
    const auto run = [&](double relative, double pressure) {
        motion::CycleOptions options;
        options.relative_error = relative;
        options.pressure_error = pressure;
        options.least_loops = options.most_loops = 2;
        return run_cycle(model, samples::moving_discs(model), Input::sine(0.15, 0.06, 4.0), options);
    };
    const auto peak = [](const Cycle& cycle) {
        double most = 0.0;
        for (const motion::Moment& moment : cycle.moments)
            most = std::max(most, moment.force);
        return most;
    };
    const Cycle usual = run(motion::CycleOptions{}.relative_error, motion::CycleOptions{}.pressure_error);
    const Cycle fine = run(1e-8, 1e-3);
    CHECK_THAT(peak(usual), WithinRel(peak(fine), 1e-4));
    CHECK_THAT(usual.work, WithinRel(fine.work, 1e-5));
}

TEST_CASE("what cannot be run is refused with its reason", "[motion][cycle]") {
    const damper::Model model = bending(samples::fork());
    CHECK_THROWS_WITH(run_cycle(model, {}, Input::sine(0.02, 0.06, 1.0)), contains_text("-10 to 50 mm"));
    motion::CycleOptions few;
    few.most_steps = 20;
    CHECK_THROWS_WITH(run_cycle(model, {}, Input::sine(0.15, 0.06, 1.0), few),
                      contains_text("the limit on steps is reached"));
    std::stop_source source;
    source.request_stop();
    motion::CycleOptions stopped;
    stopped.stop = source.get_token();
    CHECK_THROWS_AS(run_cycle(model, {}, Input::sine(0.15, 0.06, 1.0), stopped), motion::Stopped);
    damper::SetUp bare = samples::fork();
    bare.oil.free_air = 0.0;
    bare.valves[damper::Place::base_refill]->ports.area_each = 0.5e-6;
    CHECK_THROWS_WITH(run_cycle(bending(bare), {}, Input::sine(0.1, 0.1, 6.0)),
                      contains_text("oil.free_air"));
}
