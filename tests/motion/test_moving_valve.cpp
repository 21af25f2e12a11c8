#include <flow/derivative.hpp>
#include <flow/samples.hpp>
#include <motion/bent.hpp>
#include <support/catch.hpp>
#include <valve/damper/lift_cache.hpp>
#include <valve/flow/opening.hpp>
#include <valve/flow/valve_law.hpp>
#include <valve/motion/moving_valve.hpp>
#include <valve/motion/valve_profiles.hpp>

#include <cmath>
#include <limits>
#include <numbers>
#include <vector>

using namespace valve;
using motion::MovingValve;
using motion::Partials;
using motion::ValveMotion;

namespace {

/// Central differences beside the partial derivatives.
void check_partials(const MovingValve& valve, double dp, double lift, double impulse) {
    CAPTURE(dp, lift, impulse);
    const ValveMotion here = valve.at(dp, lift, impulse);
    const auto check = [&](Partials ValveMotion::*member) {
        const Partials& slopes = here.*member;
        const auto value = [&](double a, double b, double c) { return (valve.at(a, b, c).*member).value; };
        // Rounding of a value over the step, and what the step's fourth power leaves.
        const double scale = std::abs(slopes.value);
        const double a = 1e-4 * std::abs(dp);
        CHECK_THAT(difference_slope([&](double x) { return value(x, lift, impulse); }, dp, a),
                   WithinAbs(slopes.by_drop, 2e-5 * std::abs(slopes.by_drop) + 1e-13 * scale / a));
        const double b = 1e-4 * lift;
        CHECK_THAT(difference_slope([&](double x) { return value(dp, x, impulse); }, lift, b),
                   WithinAbs(slopes.by_lift, 2e-5 * std::abs(slopes.by_lift) + 1e-12 * scale / b));
        const double c = 1e-4 * std::abs(impulse);
        CHECK_THAT(difference_slope([&](double x) { return value(dp, lift, x); }, impulse, c),
                   WithinAbs(slopes.by_impulse, 2e-5 * std::abs(slopes.by_impulse) + 1e-13 * scale / c));
    };
    check(&ValveMotion::port_flow);
    check(&ValveMotion::p_eff);
    check(&ValveMotion::lift_rate);
    check(&ValveMotion::impulse_rate);
}

/// The same of a valve whose ports pass `flow`, whose oil has inertia.
void check_partials_of_flow(const MovingValve& valve, double dp, double lift, double impulse, double flow) {
    CAPTURE(dp, lift, impulse, flow);
    const ValveMotion here = valve.at_flow(dp, lift, impulse, flow);
    for (Partials ValveMotion::*const member :
         {&ValveMotion::port_flow, &ValveMotion::p_eff, &ValveMotion::lift_rate, &ValveMotion::impulse_rate,
          &ValveMotion::flow_rate}) {
        const Partials& slopes = here.*member;
        const auto check = [&](double exact, double step, const auto& value) {
            const double difference = (value(step) - value(-step)) / (2.0 * step);
            CHECK_THAT(difference,
                       WithinAbs(exact, 2e-5 * std::abs(exact) + 1e-12 * std::abs(slopes.value) / step));
        };
        const auto at = [&](double a, double b, double c, double d) {
            return (valve.at_flow(dp + a, lift + b, impulse + c, flow + d).*member).value;
        };
        check(slopes.by_drop, 1e-4 * std::abs(dp), [&](double x) { return at(x, 0.0, 0.0, 0.0); });
        check(slopes.by_lift, 1e-4 * lift, [&](double x) { return at(0.0, x, 0.0, 0.0); });
        check(slopes.by_impulse, 1e-4 * std::abs(impulse), [&](double x) { return at(0.0, 0.0, x, 0.0); });
        check(slopes.by_flow, 1e-4 * std::abs(flow), [&](double x) { return at(0.0, 0.0, 0.0, x); });
    }
}

constexpr double load_area = 2.4e-4;

motion::ProfilePoint point(double lift, double pressure, const motion::ProfileSide& side) {
    return {lift, pressure, side, side};
}

/// Stiffer and heavier as it rises.
MovingValve sample() {
    return {samples::valve(),
            motion::Profile({point(0.0, 0.5e5, {2.2e-4, 0.6e-3, {}, 0.05e5}),
                             point(0.05e-3, 1e5, {2.1e-4, 0.7e-3, {}, 0.1e5}),
                             point(0.3e-3, 5e5, {2.0e-4, 0.9e-3, {}, 0.4e5}),
                             point(1.5e-3, 100e5, {1.9e-4, 1.1e-3, {}, 12e5})}),
            load_area, samples::oil_state()};
}

} // namespace

TEST_CASE("the partial derivatives of a moving valve are its slopes", "[motion][valve]") {
    const MovingValve valve = sample();
    for (const double dp : {-3e5, -200.0, 1e3, 2e5, 8e5})
        for (const double lift : {2e-6, 8e-6, 0.03e-3, 0.4e-3, 2e-3})
            for (const double impulse : {-0.02, -2e-4, 1e-3, 0.03})
                check_partials(valve, dp, lift, impulse);
}

TEST_CASE("so are those of one whose ports' oil has inertia", "[motion][valve]") {
    const MovingValve valve = sample();
    REQUIRE(valve.inertance() > 0.0);
    for (const double dp : {-3e5, 1e3, 8e5})
        for (const double lift : {2e-6, 0.03e-3, 0.4e-3, 2e-3})
            for (const double impulse : {-0.02, 1e-3})
                for (const double flow : {-3e-5, 1e-6, 2e-4})
                    check_partials_of_flow(valve, dp, lift, impulse, flow);
}

TEST_CASE("at a steady flow, inertia of the oil in the ports changes nothing", "[motion][valve]") {
    const MovingValve valve = sample();
    for (const double dp : {-3e5, 2e5, 8e5})
        for (const double impulse : {-0.02, 0.0}) {
            const ValveMotion at_once = valve.at(dp, 0.1e-3, impulse);
            const ValveMotion steady = valve.at_flow(dp, 0.1e-3, impulse, at_once.port_flow.value);
            CHECK_THAT(steady.p_eff.value, WithinRel(at_once.p_eff.value, 1e-9));
            CHECK_THAT(steady.force, WithinRel(at_once.force, 1e-9));
            CHECK_THAT(steady.flow_rate.value * valve.inertance(), WithinAbs(0.0, 1e-9 * std::abs(dp)));
        }
}

TEST_CASE("oil of 10 mm of ports moves with shims, none with a disc, but where a length is given",
          "[motion][valve]") {
    flow::Valve valve = samples::valve();
    CHECK(flow::port_length(valve) == 10e-3);
    valve.stack.disc = stack::Disc{.outer_radius = 12e-3, .mass = 1e-3};
    CHECK(flow::port_length(valve) == 0.0);
    valve.ports.length = 5e-3;
    CHECK(flow::port_length(valve) == 5e-3);
}

TEST_CASE("oil in open ports is set in motion as in a pipe", "[motion][valve]") {
    // Under a constant head, from rest: Q = Q_1 tanh(t Δp/(I Q_1)), Q_1 the steady flow (streeter_wylie_1975,
    // establishment of flow, from memory).
    flow::Valve valve = samples::valve();
    valve.jet_force = 0.0;
    valve.discharge.port_transition = valve.discharge.curtain_transition = 1e-3; // turbulent from the start
    valve.ports.length = 30e-3;
    const motion::ProfileSide side{2e-4, 1e-3};
    const MovingValve moving(valve, motion::Profile({point(0.0, 1e5, side), point(1e-3, 11e5, side)}),
                             load_area, samples::oil_state());
    constexpr double dp = 4e5;
    constexpr double lift = 0.5e-3;
    const double steady = moving.at(dp, lift, 0.0).port_flow.value;
    const double inertance = samples::oil_state().density * 30e-3 / flow::opening(valve.ports).area;
    const double time = inertance * steady / dp;
    const auto rate = [&](double flow) { return moving.at_flow(dp, lift, 0.0, flow).flow_rate.value; };
    constexpr int steps = 1000;
    const double step = 2.0 * time / steps;
    double flow = 0.0;
    for (int i = 1; i <= steps; ++i) { // the classical method of Runge and Kutta
        const double k1 = rate(flow);
        const double k2 = rate(flow + 0.5 * step * k1);
        const double k3 = rate(flow + 0.5 * step * k2);
        const double k4 = rate(flow + step * k3);
        flow += step * (k1 + 2.0 * (k2 + k3) + k4) / 6.0;
        if (i % 250 == 0) CHECK_THAT(flow, WithinRel(steady * std::tanh(i * step / time), 1e-5));
    }
}

TEST_CASE("slopes hold beyond buckling and over windows, and at rest the flow is that of the steady law",
          "[motion][valve][uneven]") {
    flow::Valve waves = *samples::thin_fork().valves[damper::Place::base_compression];
    flow::Valve windows = waves;
    windows.stack.windows = 4;
    windows.stack.coverage = 0.5;
    windows.curtain_length = 35e-3;
    for (const flow::Valve& valve : {waves, windows}) {
        CAPTURE(valve.stack.windows);
        damper::LiftCache cache;
        const auto solution = cache.solution(valve.stack);
        const flow::ValveLaw::Bent bent = cache.bent(valve);
        const double area = solution->curve().load_area;
        const flow::ValveLaw law(valve, solution->law(), samples::oil_state(), bent);
        const MovingValve moving(valve, motion::bent_profile_of(bent, 850.0), area, samples::oil_state());
        const double begin = valve.stack.windows > 0 ? 0.2e5 : bent->from(20e5).value();
        for (const double times : {1.1, 1.7, 3.2}) {
            const flow::ValveLaw::State state = law.at(times * begin);
            const ValveMotion motion = moving.at(state.dp, state.lift, 0.0);
            CHECK_THAT(motion.port_flow.value, WithinRel(state.flow, 1e-11));
            CHECK_THAT(motion.p_eff.value, WithinRel(state.p_eff, 1e-11));
            // The lift at which it is held there.
            CHECK_THAT(moving.profile().at(state.lift).pressure, WithinRel(state.p_eff, 1e-4));
            for (const double impulse : {-0.02, 1e-3})
                check_partials(moving, 1.2 * state.dp, 1.01 * state.lift, impulse);
        }
    }
}

TEST_CASE("a valve at rest passes what its law says", "[motion][valve]") {
    const flow::Valve valve = samples::valve();
    const flow::ValveLaw law(valve, samples::lift(), samples::oil_state());
    const MovingValve moving = sample();
    for (const double p_eff : {0.6e5, 1e5, 3e5, 20e5}) {
        const flow::ValveLaw::State state = law.at(p_eff);
        const ValveMotion motion = moving.at(state.dp, state.lift, 0.0);
        CHECK_THAT(motion.port_flow.value, WithinRel(state.flow, 1e-12));
        CHECK_THAT(motion.curtain_flow, WithinRel(state.flow, 1e-12));
        CHECK_THAT(motion.p_eff.value, WithinRel(p_eff, 1e-12));
    }
}

TEST_CASE("running backwards a valve has no jet, and its curtain's pressure shuts it", "[motion][valve]") {
    const ValveMotion back = sample().at(-1e5, 0.2e-3, 0.0);
    CHECK(back.port_flow.value < 0.0);
    CHECK(back.p_eff.value < 0.0);
    CHECK(back.p_eff.value > -1e5);
    CHECK(back.force < 0.0);
}

TEST_CASE("what a shutting valve sweeps leaves through its ports", "[motion][valve]") {
    const MovingValve valve = sample();
    const ValveMotion motion = valve.at(0.0, 0.2e-3, -0.01);
    const double swept = motion.port_flow.value - motion.curtain_flow;
    const motion::Profile::Value profile = valve.profile().at(0.2e-3);
    CHECK_THAT(swept, WithinRel(-profile.area * 0.01 / std::sqrt(profile.mass), 1e-12));
    CHECK(motion.port_flow.value < 0.0); // out of the space under the shim,
    CHECK(motion.curtain_flow > 0.0);    // part of it under the shim's edge
    CHECK(motion.p_eff.value > 0.0);     // and it is damped by that
}

TEST_CASE("a valve that all but stands still on its seat has numbers", "[motion][valve]") {
    const MovingValve valve = sample();
    for (const double impulse : {3e-160, -3e-160, 1e-300, 0.0})
        for (const double lift : {-1e-10, 0.0, 1e-12}) {
            CAPTURE(impulse, lift);
            const ValveMotion motion = valve.at(0.0, lift, impulse);
            for (const Partials& part : {motion.port_flow, motion.p_eff, motion.impulse_rate})
                for (const double number : {part.value, part.by_drop, part.by_lift, part.by_impulse})
                    CHECK(std::isfinite(number));
            CHECK_THAT(motion.p_eff.value, WithinAbs(0.0, 1e-6));
        }
}

TEST_CASE("between shims that rub, swings die away as Coulomb's friction has it", "[motion][valve]") {
    // Behind ports as wide as a door, without film or jet, there is nothing but mass, spring and friction:
    // each swing to and fro is 4 F/k shorter than the one before (den_hartog_1985).
    flow::Valve valve = samples::valve();
    valve.ports = {1, 1.0};
    valve.jet_force = 0.0;
    valve.stack.seat.inner_radius = valve.stack.seat.outer_radius; // a knife edge
    constexpr double area = 2e-4;
    constexpr double mass = 1e-3;
    constexpr double rubbing = 0.2e5;
    constexpr double rate = 1e9; // of p_stat [Pa/m]
    const motion::ProfileSide side{area, mass, rate, rubbing};
    const MovingValve moving(valve, motion::Profile({point(0.0, 1e5, side), point(1e-3, 11e5, side)}), area,
                             samples::oil_state());
    constexpr double rest = 0.5e-3;
    constexpr double dp = 1e5 + rate * rest;
    const double period = 2.0 * std::numbers::pi * std::sqrt(mass / (area * rate));
    constexpr int steps = 400; // a swing
    const double step = period / steps;

    struct State {
        double lift;
        double impulse;
    };
    const auto moved = [&](State at, double by, State along) {
        const ValveMotion rates = moving.at(dp, along.lift, along.impulse);
        return State{at.lift + by * rates.lift_rate.value, at.impulse + by * rates.impulse_rate.value};
    };
    State now{rest + 0.3e-3, 0.0};
    const double shorter = 4.0 * valve.shim_friction * rubbing / rate;
    for (int swing = 1; swing <= 15; ++swing) {
        for (int i = 0; i < steps; ++i) { // the classical method of Runge and Kutta
            const State k1 = now;
            const State k2 = moved(now, 0.5 * step, k1);
            const State k3 = moved(now, 0.5 * step, k2);
            const State k4 = moved(now, step, k3);
            const State end = moved(now, step, k4);
            const auto mean = [&](double State::*part) {
                return (k2.*part + 2.0 * (k3.*part) + k4.*part - now.*part) / 3.0 +
                       (end.*part - now.*part) / 6.0;
            };
            now = {mean(&State::lift), mean(&State::impulse)};
        }
        // Friction that creeps below 1 cm/s of rates up to 1.3 m/s takes a little less.
        CHECK_THAT(now.lift - rest, WithinAbs(0.3e-3 - swing * shorter, 0.01 * swing * shorter));
    }
}

TEST_CASE("a pressure drop without end has no share for the ports", "[motion][valve]") {
    CHECK_THROWS_AS(sample().at(std::numeric_limits<double>::infinity(), 0.2e-3, 0.0), SolveError);
}
