#include <stack/samples.hpp>
#include <support/catch.hpp>
#include <valve/stack/detail/path.hpp>

#include <algorithm>
#include <cmath>
#include <random>
#include <stdexcept>

using namespace valve;
using namespace valve::stack;

namespace {

Stack tapered() {
    Stack stack;
    stack.clamp_radius = stack.bore_radius = 6e-3;
    stack.zone = {7e-3, 11e-3};
    stack.seat = {11e-3, 11.5e-3, 0.05e-3};
    for (const double outer : {12.0, 12.0, 11.0, 9.0, 10.0, 8.0})
        stack.shims.push_back({1e-3 * outer, 0.15e-3, {}});
    return stack;
}

double lift(const Stack& stack, double pressure, Theory theory, int elements = 40) {
    Path path(stack, theory, {.elements = elements});
    const std::optional<LiftPoint> point = path.point(pressure);
    REQUIRE(point);
    return point->seat_lift;
}

} // namespace

TEST_CASE("the gradient and tangent of a stack are the derivatives of its energy", "[stack]") {
    Stack stack = tapered();
    stack.floating = Float{.travel = 0.5e-3,
                           .spring_rate = 2e3,
                           .preload = 3.0,
                           .ring_radius = 6e-3,
                           .spring_radius = 7e-3,
                           .stop_radius = 6.5e-3,
                           .rests_on = RestsOn::seat};
    stack.edge = InnerEdge::free;
    const Problem problem(stack, Theory::large_deflection, {.elements = 6});
    Eigen::VectorXd x(problem.size());
    std::mt19937 random(3);
    std::uniform_real_distribution<double> unit(-1.0, 1.0);
    for (Eigen::Index i = 0; i < x.size(); ++i)
        x[i] = 2e-5 * unit(random);

    plate::BlockTridiagonal tangent = problem.make_tangent();
    Eigen::VectorXd gradient(problem.size());
    Eigen::VectorXd up(problem.size());
    Eigen::VectorXd down(problem.size());
    Eigen::VectorXd product(problem.size());
    plate::BlockTridiagonal unused = problem.make_tangent();
    const double pressure = 2e5;
    for (int trial = 0; trial < 10; ++trial) {
        Eigen::VectorXd direction =
            Eigen::VectorXd::NullaryExpr(problem.size(), [&] { return unit(random); });
        const double h = 1e-9; // central differences: error h² against a curvature length of 1e-4
        problem.assemble(x, pressure, 1.0, gradient, tangent);
        const double slope =
            (problem.energy(x + h * direction, pressure) - problem.energy(x - h * direction, pressure)) /
            (2 * h);
        CHECK_THAT(gradient.dot(direction), WithinRel(slope, 1e-5));

        problem.assemble(x + h * direction, pressure, 1.0, up, unused);
        problem.assemble(x - h * direction, pressure, 1.0, down, unused);
        tangent.multiply(direction, product);
        const Eigen::VectorXd change = (up - down) / (2 * h);
        CHECK((product - change).norm() <= 1e-6 * change.norm());
    }
}

TEST_CASE("large deflection goes over into linear plates under small loads", "[stack]") {
    Stack stack = tapered();
    stack.seat.height = 0.0;
    CHECK_THAT(lift(stack, 100.0, Theory::large_deflection),
               WithinRel(lift(stack, 100.0, Theory::linear), 1e-6));
}

TEST_CASE("equal neighbours bend as the separate plates that they are", "[stack]") {
    // A hair thicker by turns, none is like its neighbour: each is a plate of its own, in contact with the
    // next.
    Stack leaves = tapered();
    leaves.shims.insert(leaves.shims.begin(), 2, leaves.shims.front());
    leaves.shims.insert(leaves.shims.end() - 1, 2, leaves.shims[leaves.shims.size() - 2]);
    Stack plates = leaves;
    for (std::size_t i = 0; i < plates.shims.size(); i += 2)
        plates.shims[i].thickness *= 1.0 + 1e-9;
    const Problem by_leaves(leaves, Theory::large_deflection, {});
    const Problem by_plates(plates, Theory::large_deflection, {});
    REQUIRE(by_leaves.leaves() == 5);
    REQUIRE(by_plates.leaves() == 10);
    for (const Theory theory : {Theory::linear, Theory::large_deflection})
        for (const double pressure : {1e5, 10e5, 40e5})
            // Plates in contact at the nodes alone may turn a little against each other there.
            CHECK_THAT(lift(plates, pressure, theory), WithinRel(lift(leaves, pressure, theory), 1e-6));
}

TEST_CASE("equal shims share a load as springs in parallel", "[stack]") {
    // Linear plates without friction: n equal shims lift 1/n as high. Contact between them is degenerate.
    Stack one = tapered();
    one.seat.height = 0.0;
    one.shims.assign(1, {12e-3, 0.2e-3, {}});
    const double single = lift(one, 1e5, Theory::linear);
    for (const std::size_t count : {2u, 5u, 12u}) {
        Stack many = one;
        many.shims.assign(count, one.shims[0]);
        CHECK_THAT(lift(many, 1e5, Theory::linear), WithinRel(single / static_cast<double>(count), 1e-8));
    }
}

TEST_CASE("a stack twice as large lifts twice as high under the same pressure", "[stack]") {
    const Stack small = tapered();
    Stack large = small;
    for (Shim& shim : large.shims) {
        shim.outer_radius *= 2.0;
        shim.thickness *= 2.0;
    }
    large.clamp_radius = large.bore_radius = 12e-3;
    large.zone = {14e-3, 22e-3};
    large.seat = {22e-3, 23e-3, 0.1e-3};
    CHECK_THAT(lift(large, 20e5, Theory::large_deflection),
               WithinRel(2.0 * lift(small, 20e5, Theory::large_deflection),
                         1e-7)); // contact sets may differ by rounding
}

TEST_CASE("lift has converged on the mesh in use", "[stack]") {
    for (const Theory theory : {Theory::linear, Theory::large_deflection}) {
        const double coarse = lift(tapered(), 20e5, theory, 40);
        const double fine = lift(tapered(), 20e5, theory, 160);
        CHECK_THAT(coarse,
                   WithinRel(fine, 2e-4)); // contact edges fall between nodes: first order in the element
    }
}

TEST_CASE("a stiff plate on a spring comes to a rigid disc", "[stack]") {
    Stack plate_stack = testing::check_plate();
    plate_stack.floating->spring_rate = 5e3;
    plate_stack.floating->preload = 4.0;
    plate_stack.floating->travel = 1e-3;
    const double pressure = 0.3e5;
    double last = 10.0; // the thinnest may be off by its own size
    for (const double thickness : {0.2e-3, 0.8e-3, 3.2e-3}) {
        plate_stack.shims[0].thickness = thickness;
        Path path(plate_stack, Theory::large_deflection, {});
        const double area = path.problem().load_area();
        const double rigid = (pressure * area - 4.0) / 5e3;
        const double off = std::abs(path.point(pressure)->seat_lift / rigid - 1.0);
        CHECK(off < 0.1 * last); // bending falls with the cube of thickness
        last = off;
    }
    CHECK(last < 1e-4);
}

TEST_CASE("a problem refuses a stack whose geometry cannot work", "[stack]") {
    Stack stack = tapered();
    stack.seat.outer_radius = 13e-3;
    CHECK_THROWS_AS(Problem(stack, Theory::linear, {}), std::invalid_argument);
}
