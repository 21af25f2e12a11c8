#include <support/catch.hpp>
#include <valve/motion/detail/integrator.hpp>

#include <array>
#include <cmath>
#include <vector>

using namespace valve;
using motion::detail::Columns;
using motion::detail::Equations;
using motion::detail::IntegrationFailure;
using motion::detail::Integrator;
using motion::detail::StepEnd;

namespace {

/// A ball on a floor that gives none of its speed back but a share.
class Ball : public Equations {
public:
    std::size_t size() const override { return 2; }
    std::size_t roots() const override { return 1; }
    void rates(double, std::span<const double> y, std::span<double> rates) override {
        rates[0] = y[1];
        rates[1] = -gravity;
    }
    void jacobian(double, std::span<const double>, Columns result) override { result(0, 1) = 1.0; }
    void watch(double, std::span<const double> y, std::span<double> values) override { values[0] = y[0]; }

    static constexpr double gravity = 10.0;
};

/// Grows without bound within a finite time: y' = y².
class Explosion : public Equations {
public:
    std::size_t size() const override { return 1; }
    std::size_t roots() const override { return 0; }
    void rates(double, std::span<const double> y, std::span<double> rates) override {
        if (y[0] > 1e6) throw SolveError("beyond all bounds");
        rates[0] = y[0] * y[0];
    }
    void jacobian(double, std::span<const double> y, Columns result) override { result(0, 0) = 2.0 * y[0]; }
    void watch(double, std::span<const double>, std::span<double>) override {}
};

/// Dies away, until from 0.5 s on no Jacobian is to be had, as often as a step asks for one (ten
/// times); after that they jump about, so that the equations of no step are met.
class Jumpy : public Equations {
public:
    std::size_t size() const override { return 1; }
    std::size_t roots() const override { return 0; }
    void rates(double, std::span<const double> y, std::span<double> rates) override {
        rates[0] = m_missed < 10 ? -y[0] : (m_rate *= -3.0);
    }
    void jacobian(double t, std::span<const double>, Columns result) override {
        result(0, 0) = -1.0;
        if (t > 0.5 && m_missed < 10) {
            ++m_missed;
            throw SolveError("gone by then");
        }
    }
    void watch(double, std::span<const double>, std::span<double>) override {}

private:
    int m_missed = 0;
    double m_rate = 1e9;
};

/// A ball that cannot be seen once it is half-way down.
class Unseen : public Ball {
public:
    void watch(double t, std::span<const double> y, std::span<double> values) override {
        if (y[0] < 2.5) throw SolveError("out of sight");
        Ball::watch(t, y, values);
    }
};

const std::array<double, 2> tight{1e-10, 1e-10};

} // namespace

TEST_CASE("a root is found where it is, and the integration begins anew there", "[motion][integrator]") {
    Ball ball;
    Integrator integrator(ball, tight, 1e-10);
    std::vector<double> y{5.0, 0.0};
    integrator.start(0.0, y, 1.0);
    double t = 0.0;
    std::vector<double> bounces;
    while (t < 2.9) {
        const StepEnd end = integrator.step(2.9);
        t = integrator.time();
        if (end != StepEnd::root) continue;
        CHECK(integrator.signs()[0] == -1);
        bounces.push_back(t);
        y = {0.0, -0.5 * integrator.state()[1]};
        integrator.start(t, y, 1.0);
    }
    // 1 s down from 5 m, 1 s up and down again at half the speed, then half as long each time: 3 − 2^(1−k) s.
    REQUIRE(bounces.size() == 5);
    for (std::size_t k = 0; k < bounces.size(); ++k)
        CHECK_THAT(bounces[k], WithinAbs(3.0 - std::pow(2.0, 1.0 - static_cast<double>(k)), 1e-7));
    CHECK(integrator.effort().starts == 6);
    CHECK(integrator.effort().rates > integrator.effort().steps);
}

TEST_CASE("the state within a step can be asked for", "[motion][integrator]") {
    Ball ball;
    Integrator integrator(ball, tight, 1e-10);
    integrator.start(0.0, std::vector<double>{5.0, 0.0}, 0.1);
    double before = 0.0;
    while (integrator.time() < 0.6) {
        before = integrator.time();
        integrator.step(0.8);
    }
    const double t = 0.5 * (before + integrator.time());
    std::vector<double> y(2);
    integrator.interpolate(t, 0, y);
    CHECK_THAT(y[0], WithinAbs(5.0 - 5.0 * t * t, 1e-8));
    integrator.interpolate(t, 1, y);
    CHECK_THAT(y[0], WithinAbs(-10.0 * t, 1e-7));
}

TEST_CASE("what has no end within the time asked for ends with its reason", "[motion][integrator]") {
    Explosion explosion;
    Integrator integrator(explosion, std::array<double, 1>{1e-8}, 1e-8);
    integrator.start(0.0, std::vector<double>{1.0}, 1.0); // y = 1/(1 − t)
    const auto run = [&] {
        for (int step = 0; step < 100000 && integrator.time() < 2.0; ++step)
            integrator.step(2.0);
    };
    CHECK_THROWS_AS(run(), SolveError);
    CHECK_THAT(integrator.time(), WithinAbs(1.0, 1e-3));
}

TEST_CASE("a step begun anew does not end for what went wrong before", "[motion][integrator]") {
    Jumpy jumpy;
    Integrator integrator(jumpy, std::array<double, 1>{1e-8}, 1e-8);
    integrator.start(0.0, std::vector<double>{1.0}, 0.01);
    const auto run = [&] {
        for (int step = 0; step < 100000 && integrator.time() < 2.0; ++step)
            integrator.step(2.0);
    };
    CHECK_THROWS_AS(run(), IntegrationFailure); // not "gone by then"
}

TEST_CASE("what cannot be watched ends the integration with its reason", "[motion][integrator]") {
    Unseen ball;
    Integrator integrator(ball, tight, 1e-10);
    integrator.start(0.0, std::vector<double>{5.0, 0.0}, 0.1);
    const auto run = [&] {
        while (integrator.time() < 2.0)
            integrator.step(2.0);
    };
    CHECK_THROWS_WITH(run(), "out of sight");
}
