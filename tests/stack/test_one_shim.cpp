#include <support/catch.hpp>
#include <valve/stack/detail/path.hpp>

#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>
#include <optional>
#include <vector>

using namespace valve;
using namespace valve::stack;

namespace {

constexpr double rim = 15e-3; // [m]

/// A clamped shim under pressure from `from` [m] to its rim, all its lengths `factor` times as long.
Stack clamped(double from, double factor = 1.0) {
    Stack stack;
    stack.shims = {{rim * factor, 0.2e-3 * factor, {}}};
    stack.clamp_radius = stack.bore_radius = 6e-3 * factor;
    stack.zone = {from * factor, rim * factor};
    stack.seat = {rim * factor, rim * factor, 0.0};
    return stack;
}

/// What the stack's solver finds of one shim at a pressure.
struct Bent {
    LiftPoint point;
    std::vector<double> w;
    std::vector<double> slope;
    std::vector<double> radial;
};

Bent bent(const Stack& stack, double pressure, Theory theory, int elements) {
    Path path(stack, theory, {.elements = elements});
    const std::optional<LiftPoint> point = path.point(pressure);
    REQUIRE(point);
    const Problem::Shapes shapes = path.problem().shapes(path.at(pressure)->x);
    return {*point, shapes.w.front(), shapes.slope.front(), shapes.radial.front()};
}

/// Order of convergence from three meshes, each half as wide as the one before.
double order(double coarse, double middle, double fine) {
    return std::log2(std::abs((coarse - middle) / (middle - fine)));
}

} // namespace

// Cubic elements for a fourth-order problem: nodal values and end moments converge with h⁴ where nodal forces
// give the moments; strang_fix_1973, 1.7: 2(k − m) = 4.
TEST_CASE("deflection, slope and clamp stress converge with the fourth power of the element", "[stack]") {
    std::array<Bent, 3> s;
    int elements = 5;
    for (Bent& state : s) {
        state = bent(clamped(6e-3), 1e5, Theory::linear, elements); // one piece, so that meshes nest
        elements *= 2;
    }
    CHECK(order(s[0].w.back(), s[1].w.back(), s[2].w.back()) > 3.7);
    CHECK(order(s[0].slope.back(), s[1].slope.back(), s[2].slope.back()) > 3.7);
    CHECK(order(s[0].point.peak.stress, s[1].point.peak.stress, s[2].point.peak.stress) > 3.7);
}

TEST_CASE("the clamp carries the whole load", "[stack]") {
    for (const Theory theory : {Theory::linear, Theory::large_deflection}) {
        const double load = 1e5 * std::numbers::pi * (225e-6 - 64e-6);
        const Bent state = bent(clamped(8e-3), 1e5, theory, 40);
        CHECK_THAT(state.point.hub_force, WithinRel(-load, 1e-8)); // rounding of stiff element forces
    }
}

TEST_CASE("a shim twice as large lifts twice as high under the same pressure", "[stack]") {
    const auto lift = [](double factor) {
        return bent(clamped(8e-3, factor), 1e5, Theory::large_deflection, 40).w.back();
    };
    CHECK_THAT(lift(2.0), WithinRel(2.0 * lift(1.0), 1e-9));
}

TEST_CASE("a shim four times as large is solved bit by bit alike", "[stack]") {
    // Stiffness grows fourfold, so that Cholesky's square roots scale by two: not even rounding may differ.
    const Bent small = bent(clamped(8e-3), 1e5, Theory::large_deflection, 40);
    const Bent large = bent(clamped(8e-3, 4.0), 1e5, Theory::large_deflection, 40);
    REQUIRE(small.w.size() == large.w.size());
    for (std::size_t n = 0; n < small.w.size(); ++n) {
        CHECK(large.w[n] == 4.0 * small.w[n]);
        CHECK(large.slope[n] == small.slope[n]);
        CHECK(large.radial[n] == 4.0 * small.radial[n]);
    }
    CHECK(large.point.peak.stress == small.point.peak.stress);
    CHECK(large.point.hub_force == 16.0 * small.point.hub_force);
}

TEST_CASE("thin shims do not lock", "[stack]") {
    // Width 9 mm: thickness/width from 1/45 to 1/1000 at equal non-dimensional load, so equal w/t.
    const double reference_thickness = 0.2e-3;
    double reference = 0.0;
    for (const double thickness : {0.2e-3, 0.05e-3, 0.009e-3}) {
        Stack stack = clamped(8e-3);
        stack.shims.front().thickness = thickness;
        const double scale = std::pow(thickness / reference_thickness, 4.0);
        const double lift = bent(stack, 2e5 * scale, Theory::large_deflection, 20).w.back() / thickness;
        if (reference == 0.0) reference = lift;
        CHECK_THAT(lift, WithinRel(reference, 1e-9)); // the equations scale exactly
        CHECK(lift > 1.5);
    }
    // A mesh three times as fine finds the same: no locking hides in the common value.
    const double fine = bent(clamped(8e-3), 2e5, Theory::large_deflection, 60).w.back();
    CHECK_THAT(fine / reference_thickness, WithinRel(reference, 1e-5));
}
