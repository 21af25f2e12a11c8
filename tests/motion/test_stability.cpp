#include <motion/discs.hpp>
#include <support/catch.hpp>
#include <valve/damper/steady.hpp>
#include <valve/flow/mixture.hpp>
#include <valve/motion/detail/dynamics.hpp>
#include <valve/motion/stability.hpp>
#include <valve/study/swinging.hpp>

#include <Eigen/Eigenvalues>
#include <Eigen/QR>

#include <array>
#include <cmath>
#include <complex>
#include <numbers>
#include <vector>

using namespace valve;
using damper::Place;

namespace {

constexpr double travel = 0.05;
constexpr double air_exponent = 1.4; // in time
constexpr std::size_t rebound = static_cast<std::size_t>(Place::piston_rebound);

/// A monotube whose rebound valve, a disc on a coil behind ports of `length` [m], is all that lets oil
/// through.
damper::SetUp one_disc(double length) {
    damper::SetUp setup = samples::with_discs(samples::shock());
    setup.oil.free_air = 0.0;
    setup.cartridge.ring_leak.reset();
    setup.reservoir.friction = 0.0;
    flow::Valve& valve = *setup.valves[Place::piston_rebound];
    valve.bleed.reset();
    valve.ports.area_each = 0.1e-3;
    valve.ports.length = length;
    valve.discharge.curtain_transition = valve.discharge.port_transition = 1.0; // turbulent from the start
    valve.jet_force = 0.0;
    valve.stack.floating->travel = 2e-3;
    return setup;
}

/// The disc, the gap under it, its ports and the oil of both chambers on the rebound stroke: of
///   m ÿ + c ẏ + k y = A p,             d(Δp)/dt = S (A_a v − Q),
///   Q = A ẏ + C_d l y √(2 p/ρ),        Δp = p + r Q² + I dQ/dt,   r = ρ/(2 C_p² A_p²),   I = ρ l_p/A_p,
/// the polynomial Σ a_n sⁿ whose roots are the rates of small motions. With r = I = 0 these are the equations
/// of a relief valve that acts directly (merritt_1967, from memory).
struct Polynomial {
    Polynomial(const damper::Model& model, double speed) {
        const flow::Valve& valve = *model.setup().valves[Place::piston_rebound];
        const stack::Stack& stack = valve.stack;
        const damper::SteadyPoint steady = damper::steady_point(model, -speed, travel);
        const flow::Mixture oil(model.oil(), air_exponent);
        const damper::ByChamber space = model.network().volumes(travel);
        const flow::Mixture::State in_R = oil.at(steady.p_R);
        const flow::Mixture::State in_C = oil.at(steady.p_C);
        const double stiffness_R = -std::pow(1.0 + in_R.expansion, 2.0) / (in_R.slope * space.R);
        const double gas =
            1.0 / model.reservoir().stiffness(space.S); // what gives way besides the oil [m³/Pa]
        const double give_C = -in_C.slope * (space.C + space.S) / (1.0 + in_C.expansion) + gas;
        const double S = stiffness_R + (1.0 + in_C.expansion) / give_C;

        const double y = steady.piston.lift;
        const double Q = std::abs(steady.piston.flow);
        const double drop = steady.p_R - steady.p_C;
        const double ports = 4.0 * valve.ports.area_each;
        const double r = 0.5 * model.oil().density * std::pow(valve.discharge.port * ports, -2.0);
        const double I = model.oil().density * valve.ports.length.value() / ports;
        const double p = drop - r * Q * Q;
        const double alpha = 2.0 * r * Q;
        const double beta = 0.5 * Q / p;
        const double A = samples::load_area(stack);
        const double m = stack.disc->mass;
        const double k = stack.floating->spring_rate;
        const double width = stack.seat.outer_radius - stack.seat.inner_radius;
        const double c = std::numbers::pi * (stack.seat.outer_radius + stack.seat.inner_radius) *
                         model.oil().dynamic_viscosity() * std::pow(width / y, 3.0);
        // (m s² + c s + k)(s + β D) + A (A s + Q/y) D,   D = I s² + α s + S
        a = {k * beta * S + A * Q / y * S,
             c * beta * S + k * (1.0 + beta * alpha) + A * (A * S + Q / y * alpha),
             m * beta * S + c * (1.0 + beta * alpha) + k * beta * I + A * (A * alpha + Q / y * I),
             m * (1.0 + beta * alpha) + c * beta * I + A * A * I, m * beta * I};
    }

    std::complex<double> at(std::complex<double> s) const {
        return (((a[4] * s + a[3]) * s + a[2]) * s + a[1]) * s + a[0];
    }
    /// The criterion of Routh and Hurwitz (from memory).
    bool grows() const { return a[1] * (a[3] * a[2] - a[4] * a[1]) < a[3] * a[3] * a[0]; }

    std::array<double, 5> a{};
};

/// The disc of the compression valve is held so hard that it never lifts.
motion::MovingValves moving_disc(const damper::Model& model) {
    motion::MovingValves valves = samples::moving_discs(model);
    const flow::Valve& held = *model.setup().valves[Place::piston_compression];
    const double area = samples::load_area(held.stack);
    const motion::ProfileSide side{area, held.stack.disc->mass};
    valves[Place::piston_compression].emplace(
        held, motion::Profile({{0.0, 1e9, side, side}, {1e-3, 2e9, side, side}}), area, model.oil());
    return valves;
}

/// The lift of the rebound valve at `count` even times `step` [s] apart, the rod at constant speed, from the
/// steady state but for `moved` [m] of lift.
std::vector<double> lifts_from_steady(const damper::Model& model, const motion::MovingValves& valves,
                                      double speed, double moved, double step, int count) {
    const motion::Input input = motion::Input::triangle(travel, 0.08, speed / 0.16);
    motion::detail::Dynamics dynamics(model, valves, input, damper::RodInto::atmosphere);
    constexpr std::size_t outwards = 1; // pieces begin with the stroke inwards
    const motion::Input::Piece piece = input.piece(outwards);
    const double begin = piece.begin + (0.5 * 0.08) / speed;
    REQUIRE_THAT(input.at(outwards, begin).travel, WithinAbs(travel, 1e-9));

    const damper::SteadyPoint steady = damper::steady_point(model, -speed, travel);
    const flow::Mixture oil(model.oil(), air_exponent);
    const damper::ByChamber space = model.network().volumes(travel);
    const auto excess = [&](double volume, double pressure) {
        return volume / (1.0 + oil.at(pressure).expansion) - volume;
    };
    std::vector<double> y = dynamics.at_rest();
    y[0] = excess(space.C + space.S, steady.p_C);
    y[1] = excess(space.R, steady.p_R);
    y[dynamics.damper().lift_of(rebound)] = steady.piston.lift + moved;
    if (const auto flow = dynamics.damper().flow_of(rebound)) y[*flow] = std::abs(steady.piston.flow);
    motion::Modes modes;
    modes.seating[rebound] = motion::Seating::open;
    dynamics.set(outwards, modes);

    motion::CycleOptions options;
    options.pressure_error = 1e-3;
    std::vector<double> errors = dynamics.tolerances(options);
    for (double& error : errors)
        error *= 1e-3;
    motion::detail::Integrator integrator(dynamics, errors, 1e-11);
    integrator.start(begin, y, step);
    std::vector<double> lifts;
    std::vector<double> at(y.size());
    for (int i = 0; i < count; ++i) {
        const double stop = begin + step * (i + 1);
        double time = begin;
        while (time < stop)
            REQUIRE(integrator.step(stop, time, at) != motion::detail::StepEnd::root);
        lifts.push_back(at[dynamics.damper().lift_of(rebound)]);
    }
    return lifts;
}

} // namespace

TEST_CASE("one valve between two chambers oscillates as the polynomial of its unknowns says",
          "[motion][stability]") {
    const auto [length, least_growing, least_dying] =
        GENERATE(table<double, int, int>({{0.0, 2, 2}, {2e-3, 1, 1}, {20e-3, 1, 1}}));
    CAPTURE(length);
    const damper::SetUp setup = one_disc(length);
    const damper::Model model(setup, samples::disc_laws(setup));
    const motion::MovingValves valves = moving_disc(model);
    int growing = 0;
    int dying = 0;
    for (const double speed : {0.02, 0.05, 0.1, 0.2, 0.5, 1.0, 2.0}) {
        CAPTURE(speed);
        const Polynomial polynomial(model, speed);
        const auto swing = motion::least_damped(model, valves, -speed, travel);
        REQUIRE(swing);
        CHECK(swing->valve == Place::piston_rebound);
        const std::complex<double> s(swing->growth, 2.0 * std::numbers::pi * swing->frequency);
        const double size = polynomial.a[3] * std::pow(std::abs(s), 3.0);
        CHECK(std::abs(polynomial.at(s)) < 1e-7 * size);
        CHECK(polynomial.grows() == (swing->growth > 0.0));
        ++(swing->growth > 0.0 ? growing : dying);
    }
    CHECK(growing >= least_growing);
    CHECK(dying >= least_dying);
}

TEST_CASE("run in time, a small push goes on as the linearised equations say", "[motion][stability]") {
    const double length = GENERATE(0.0, 20e-3);
    const damper::SetUp setup = one_disc(length);
    const damper::Model model(setup, samples::disc_laws(setup));
    const motion::MovingValves valves = moving_disc(model);
    for (const double speed : {0.02, 0.5}) {
        CAPTURE(length, speed);
        const auto swing = motion::least_damped(model, valves, -speed, travel);
        REQUIRE(swing);
        const double step = 1.0 / (8.0 * swing->frequency);
        constexpr int count = 14; // few: the rod moves on, and the chambers with it
        // Half of what two opposite pushes differ by has no second order.
        const std::vector<double> up = lifts_from_steady(model, valves, speed, 3e-8, step, count);
        const std::vector<double> down = lifts_from_steady(model, valves, speed, -3e-8, step, count);
        // As many rates s as unknowns count: x(t + n h) is the same sum of the n values before it all along,
        // and the roots of that sum's polynomial are e^{s h} (Prony's method, from memory).
        const Eigen::Index rates = length > 0.0 ? 4 : 3;
        Eigen::MatrixXd known(count - rates, rates);
        Eigen::VectorXd next(count - rates);
        const auto x = [&](Eigen::Index i) {
            const auto k = static_cast<std::size_t>(i);
            return 0.5 * (up[k] - down[k]) * 1e9;
        };
        for (Eigen::Index i = 0; i < next.size(); ++i) {
            for (Eigen::Index k = 0; k < rates; ++k)
                known(i, k) = x(i + k);
            next[i] = x(i + rates);
        }
        Eigen::MatrixXd companion = Eigen::MatrixXd::Zero(rates, rates);
        for (Eigen::Index k = 0; k + 1 < rates; ++k)
            companion(k, k + 1) = 1.0;
        companion.row(rates - 1) = known.colPivHouseholderQr().solve(next).transpose();
        const Eigen::VectorXcd roots = companion.eigenvalues();
        std::complex<double> slowest = 0.0; // to die away, of those that oscillate
        for (const std::complex<double>& root : roots)
            if (root.imag() > 0.0 && std::abs(root) > std::abs(slowest)) slowest = root;
        REQUIRE(std::abs(slowest) > 0.0);
        const double growth = std::log(std::abs(slowest)) / step;
        const double frequency = std::arg(slowest) / (2.0 * std::numbers::pi * step);
        CHECK_THAT(growth, WithinAbs(swing->growth, 0.002 * 2.0 * std::numbers::pi * swing->frequency));
        CHECK_THAT(frequency, WithinRel(swing->frequency, 0.002));
    }
}

TEST_CASE("valves that swing at the slowest speed looked at are told to swing from there",
          "[motion][stability]") {
    const damper::SetUp setup = one_disc(0.0);
    const damper::Model model(setup, samples::disc_laws(setup));
    const motion::MovingValves valves = moving_disc(model);
    const auto onset = [&](double fastest) { return study::swing_onsets(model, valves, travel, fastest); };
    REQUIRE(onset(1.0).size() == 1);
    CHECK(onset(1.0).front().stroke == damper::Stroke::rebound);
    CHECK(onset(1.0).front().speed == 0.05);
    CHECK(onset(0.03).front().speed == 0.03);
}
