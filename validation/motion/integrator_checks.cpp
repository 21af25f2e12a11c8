#include <motion/parts.hpp>
#include <valve/flow/restriction.hpp>
#include <valve/motion/detail/integrator.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <utility>
#include <vector>

namespace valve::validation {

namespace {

using motion::detail::Columns;
using motion::detail::Equations;
using motion::detail::Integrator;

constexpr double tight = 1e-11;

/// Two unknowns at most, given by functions.
struct Problem final : Equations {
    std::size_t unknowns = 1;
    std::function<void(double, std::span<const double>, std::span<double>)> f;
    std::function<void(double, std::span<const double>, Columns)> j;
    std::function<double(std::span<const double>)> watched = {};

    std::size_t size() const override { return unknowns; }
    std::size_t roots() const override { return watched ? 1 : 0; }
    void rates(double t, std::span<const double> y, std::span<double> rates) override { f(t, y, rates); }
    void jacobian(double t, std::span<const double> y, Columns result) override { j(t, y, result); }
    void watch(double, std::span<const double> y, std::span<double> values) override {
        values[0] = watched(y);
    }
};

/// The state at `end`, or at the first root before it.
std::pair<double, std::vector<double>> run(Problem& problem, std::vector<double> y, double end,
                                           double absolute) {
    Integrator integrator(problem, std::vector<double>(y.size(), absolute), tight);
    integrator.start(0.0, y, end);
    while (integrator.time() < end)
        if (integrator.step(end) == motion::detail::StepEnd::root) break;
    return {integrator.time(), {integrator.state().begin(), integrator.state().end()}};
}

void van_der_pol(Recorder& recorder) {
    Problem problem;
    constexpr double epsilon = 1e-6;
    problem.unknowns = 2;
    problem.f = [](double, std::span<const double> y, std::span<double> rates) {
        rates[0] = y[1];
        rates[1] = ((1.0 - y[0] * y[0]) * y[1] - y[0]) / epsilon;
    };
    problem.j = [](double, std::span<const double> y, Columns j) {
        j(0, 1) = 1.0;
        j(1, 0) = (-2.0 * y[0] * y[1] - 1.0) / epsilon;
        j(1, 1) = (1.0 - y[0] * y[0]) / epsilon;
    };
    const auto [t, y] = run(problem, {2.0, 0.0}, 2.0, tight);
    const std::array<double, 2> expected{1.706167732170483, -0.8928097010247975};
    for (std::size_t i = 0; i < expected.size(); ++i)
        recorder.add({.name = i == 0 ? "stiff van der Pol at t = 2: y" : "stiff van der Pol at t = 2: y'",
                      .source = {"mazzia_magherini_2008", "problem vdpol, reference solution"},
                      .kind = Kind::published,
                      .expected = expected.at(i),
                      .got = y[i],
                      .tolerance = relative(1e-7, "steps within 1e-11, through several layers"),
                      .unit = {}});
}

void mass_on_an_orifice(Recorder& recorder) {
    Problem problem; // v, x
    problem.unknowns = 2;
    problem.f = [](double, std::span<const double> y, std::span<double> rates) {
        rates[0] = -500.0 / 200.0 * y[0] * y[0];
        rates[1] = y[0];
    };
    problem.j = [](double, std::span<const double> y, Columns j) {
        j(0, 0) = -2.0 * 500.0 / 200.0 * y[0];
        j(1, 0) = 1.0;
    };
    const auto [t, y] = run(problem, {3.0, 0.0}, 0.05, tight);
    const Source source{"", "v_0/(1 + c v_0 t/m) and m/c ln(1 + c v_0 t/m), worked out by hand"};
    recorder.add({"mass on an orifice: speed", source, Kind::computed_reference, 2.18181818181818, y[0],
                  relative(1e-8, "steps within 1e-11"), "m/s"});
    recorder.add({"mass on an orifice: way", source, Kind::computed_reference, 0.127381492447414, y[1],
                  relative(1e-8, "steps within 1e-11"), "m"});
}

void chamber_that_bleeds(Recorder& recorder) {
    // √p, linear in time, is the unknown, so that the end is no singular point: 2 √p' = −K/V C A √(2/ρ).
    flow::OilState oil;
    oil.density = 850.0;
    oil.kinematic_viscosity = 1e-12; // a sharp orifice, turbulent throughout
    const flow::Restriction orifice({flow::circle_area(1e-3), 1e-3}, 0.7, 1.0, oil);
    constexpr double stiffness = 1.4e9 / 100e-6;
    Problem problem;
    problem.f = [&](double, std::span<const double> y, std::span<double> rates) {
        const double pressure = std::max(y[0] * y[0], 1e-12);
        rates[0] = -stiffness * orifice.flow(pressure).value / (2.0 * std::sqrt(pressure));
    };
    problem.j = [](double, std::span<const double>, Columns) {}; // the rate is constant
    problem.watched = [](std::span<const double> y) { return y[0]; };
    const auto [t, y] = run(problem, {std::sqrt(20e5)}, 0.02, 1e-7);
    recorder.add({"100 ml at 20 bar through 1 mm: empty after",
                  {"", "V/(K C A) √(2 ρ p_0), worked out by hand"},
                  Kind::computed_reference,
                  7.57571279180149e-3,
                  t,
                  relative(1e-9, "the rate is constant"),
                  "s"});
}

} // namespace

void integrator_checks(Recorder& recorder) {
    van_der_pol(recorder);
    mass_on_an_orifice(recorder);
    chamber_that_bleeds(recorder);
}

} // namespace valve::validation
