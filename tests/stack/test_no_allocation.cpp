#include <stack/samples.hpp>
#include <support/allocations.hpp>
#include <support/catch.hpp>
#include <valve/stack/detail/minimise.hpp>

#include <cmath>
#include <vector>

using namespace valve;
using namespace valve::stack;
using valve::testing::allocations;

namespace {

/// Five stiff shims over a gap, seven below it.
Stack two_stage() {
    Stack stack;
    stack.clamp_radius = stack.bore_radius = 6e-3;
    stack.zone = {8e-3, 14e-3};
    stack.seat = {14e-3, 14.5e-3, 0.05e-3};
    for (int i = 0; i < 6; ++i)
        stack.shims.push_back({15e-3, 0.15e-3, {}});
    stack.shims.push_back({9e-3, 0.1e-3, {}});
    for (const double radius : {14e-3, 13e-3, 12e-3, 10e-3, 8e-3})
        stack.shims.push_back({radius, 0.2e-3, {}});
    return stack;
}

/// Pushed by its coil near the bore and stopped outside it: a station counted from the top.
Stack stopped_apart() {
    Stack stack = stack::testing::check_plate();
    stack.bore_radius = 8e-3;
    stack.floating->spring_radius = 8.5e-3;
    stack.floating->stop_radius = 11e-3;
    stack.shims.push_back({12e-3, 0.2e-3, {}});
    return stack;
}

struct Sample {
    const char* name;
    Stack stack;
    double pressure; ///< [Pa]
};

std::vector<Sample> samples() {
    return {{"two stages, clamped", two_stage(), 5e5},
            {"check plate", stack::testing::check_plate(), 0.1e5},
            {"stop apart from the ring", stopped_apart(), 0.2e5}};
}

} // namespace

TEST_CASE("the count of allocations sees operator new and what Eigen takes", "[stack]") {
    const long before = allocations();
    const std::vector<double> one(10);
    CHECK(allocations() == before + 1);
    const Eigen::VectorXd two = Eigen::VectorXd::Zero(10);
    CHECK(allocations() == before + 2);
}

TEST_CASE("a solve at a neighbouring pressure takes no memory", "[stack]") {
    for (const Theory theory : {Theory::linear, Theory::large_deflection})
        for (const Sample& sample : samples()) {
            CAPTURE(sample.name, name(theory));
            const Problem problem(sample.stack, theory, plate::Grading{});
            Minimiser minimiser(problem);
            State state = minimiser.start();
            REQUIRE(minimiser.solve(sample.pressure, state).converged);

            const long before = allocations();
            const Outcome outcome = minimiser.solve(1.2 * sample.pressure, state);
            const long taken = allocations() - before;
            REQUIRE(outcome.converged);
            CHECK(taken == 0);
        }
}

TEST_CASE("assembly, energy, factorisation and products take no memory", "[stack]") {
    for (const Sample& sample : samples()) {
        CAPTURE(sample.name);
        const Problem problem(sample.stack, Theory::large_deflection, plate::Grading{});
        const Eigen::VectorXd x = Eigen::VectorXd::Zero(problem.size());
        Eigen::VectorXd gradient(problem.size());
        plate::BlockTridiagonal tangent = problem.make_tangent();
        plate::BlockCholesky cholesky(tangent);
        std::vector<char> chosen(static_cast<std::size_t>(problem.size()), 1);
        for (Eigen::Index i = 0; i < x.size(); ++i)
            if (std::isfinite(problem.lower()[i])) chosen[static_cast<std::size_t>(i)] = 0;

        const long before = allocations();
        for (const double squeeze : {1.0, 0.5})
            problem.assemble(x, sample.pressure, squeeze, gradient, tangent);
        const long in_assembly = allocations() - before;
        const double energy = problem.energy(x, sample.pressure);
        const long in_energy = allocations() - before - in_assembly;
        const bool factored = cholesky.factor(tangent, chosen);
        cholesky.solve(gradient);
        const long in_cholesky = allocations() - before - in_assembly - in_energy;

        CHECK(std::isfinite(energy));
        CHECK(factored);
        CHECK(in_assembly == 0);
        CHECK(in_energy == 0);
        CHECK(in_cholesky == 0);
    }
}

TEST_CASE("a quadratic takes no memory by either method", "[stack]") {
    for (const Sample& sample : samples())
        for (const Method method : {Method::either, Method::interior_point}) {
            CAPTURE(sample.name);
            const Problem problem(sample.stack, Theory::linear, plate::Grading{});
            const State rest = Minimiser(problem).start();
            plate::BlockTridiagonal tangent = problem.make_tangent();
            Eigen::VectorXd gradient(problem.size());
            problem.assemble(rest.x, sample.pressure, 1.0, gradient, tangent);
            const double force = sample.pressure * problem.load_area();
            const Eigen::VectorXd tolerance = Eigen::VectorXd::Constant(problem.size(), 1e-6 * force);
            BoxQuadratic quadratic(tangent, problem.lower(), problem.upper());
            Eigen::VectorXd x = rest.x;
            std::vector<Hold> hold = rest.hold;

            const long before = allocations();
            const bool solved =
                quadratic.solve({tangent, rest.x, gradient, tolerance, force}, x, hold, method);
            const long taken = allocations() - before;
            CHECK(solved);
            CHECK(taken == 0);
        }
}
