#include <support/catch.hpp>
#include <valve/plate/detail/annular_plate.hpp>

#include <array>
#include <cmath>
#include <stdexcept>

using namespace valve::plate;

namespace {

PlateProblem pressed_plate(int elements) {
    PlateProblem problem;
    problem.inner_radius = 6e-3;
    problem.outer_radius = 15e-3;
    problem.thickness = 0.2e-3;
    problem.pressures.push_back({8e-3, 15e-3, 1e5, 1e5});
    problem.grading.elements = elements;
    return problem;
}

/// A plate under the same pressure, all its lengths `factor` times as long.
PlateProblem enlarged(double factor) {
    PlateProblem problem = pressed_plate(40);
    problem.theory = PlateTheory::von_karman;
    problem.inner_radius *= factor;
    problem.outer_radius *= factor;
    problem.thickness *= factor;
    problem.pressures = {{8e-3 * factor, problem.outer_radius, 1e5, 1e5}};
    return problem;
}

/// Order of convergence from three meshes, each half as wide as the one before.
double order(double coarse, double middle, double fine) {
    return std::log2(std::abs((coarse - middle) / (middle - fine)));
}

} // namespace

// Cubic elements for a fourth-order problem: nodal values and end moments converge with h⁴ where nodal forces
// give the moments; strang_fix_1973, 1.7: 2(k − m) = 4.
TEST_CASE("deflection, slope and clamp moment converge with the fourth power of the element", "[plate]") {
    std::array<PlateSolution, 3> s;
    int elements = 5;
    for (PlateSolution& solution : s) {
        PlateProblem problem = pressed_plate(elements);
        problem.pressures = {{6e-3, 15e-3, 1e5, 1e5}}; // one piece, so that meshes nest
        solution = solve(problem);
        elements *= 2;
    }
    CHECK(order(s[0].deflection.back(), s[1].deflection.back(), s[2].deflection.back()) > 3.7);
    CHECK(order(s[0].slope.back(), s[1].slope.back(), s[2].slope.back()) > 3.7);
    CHECK(order(s[0].resultants[0].M_r, s[1].resultants[0].M_r, s[2].resultants[0].M_r) > 3.7);
}

TEST_CASE("the clamp carries the whole load", "[plate]") {
    for (const PlateTheory theory : {PlateTheory::linear, PlateTheory::von_karman}) {
        PlateProblem problem = pressed_plate(40);
        problem.theory = theory;
        const PlateSolution s = solve(problem);
        const double load = 1e5 * 3.14159265358979324 * (225e-6 - 64e-6);
        REQUIRE(s.converged);
        CHECK_THAT(s.inner_reaction, WithinRel(-load, 1e-8)); // rounding of stiff element forces
    }
}

TEST_CASE("von Kármán plates are linear under small loads", "[plate]") {
    PlateProblem problem = pressed_plate(40);
    problem.pressures[0].inner_pressure = problem.pressures[0].outer_pressure = 10.0;
    const PlateSolution linear = solve(problem);
    problem.theory = PlateTheory::von_karman;
    const PlateSolution full = solve(problem);
    // Lift is 3e-4 thicknesses: the membrane adds its square, 1e-7.
    CHECK_THAT(full.deflection.back(), WithinRel(linear.deflection.back(), 1e-6));
}

TEST_CASE("a plate twice as large lifts twice as high under the same pressure", "[plate]") {
    CHECK_THAT(solve(enlarged(2.0)).deflection.back(),
               WithinRel(2.0 * solve(enlarged(1.0)).deflection.back(), 1e-9));
}

TEST_CASE("a plate four times as large is solved bit by bit alike", "[plate]") {
    // Stiffness grows fourfold, so that Cholesky's square roots scale by two: not even rounding may differ.
    const PlateSolution small = solve(enlarged(1.0));
    const PlateSolution large = solve(enlarged(4.0));
    REQUIRE(small.converged);
    REQUIRE(small.radius.size() == large.radius.size());
    for (std::size_t n = 0; n < small.radius.size(); ++n) {
        CHECK(large.deflection[n] == 4.0 * small.deflection[n]);
        CHECK(large.slope[n] == small.slope[n]);
        CHECK(large.radial[n] == 4.0 * small.radial[n]);
        CHECK(large.resultants[n].M_r == 16.0 * small.resultants[n].M_r);
        CHECK(large.resultants[n].N_t == 4.0 * small.resultants[n].N_t);
    }
    CHECK(large.inner_reaction == 16.0 * small.inner_reaction);
}

TEST_CASE("thin plates do not lock", "[plate]") {
    // Width 9 mm: thickness/width from 1/45 to 1/1000 at equal non-dimensional load, so equal w/t.
    const double reference_thickness = 0.2e-3;
    double reference = 0.0;
    for (const double thickness : {0.2e-3, 0.05e-3, 0.009e-3}) {
        PlateProblem problem = pressed_plate(20);
        problem.theory = PlateTheory::von_karman;
        problem.thickness = thickness;
        const double scale = std::pow(thickness / reference_thickness, 4.0);
        problem.pressures[0].inner_pressure = problem.pressures[0].outer_pressure = 2e5 * scale;
        const PlateSolution s = solve(problem);
        REQUIRE(s.converged);
        const double lift = s.deflection.back() / thickness;
        if (reference == 0.0) reference = lift;
        CHECK_THAT(lift, WithinRel(reference, 1e-9)); // the equations scale exactly
        CHECK(lift > 1.5);
    }
    // A mesh three times as fine finds the same: no locking hides in the common value.
    PlateProblem fine = pressed_plate(60);
    fine.theory = PlateTheory::von_karman;
    fine.pressures[0].inner_pressure = fine.pressures[0].outer_pressure = 2e5;
    CHECK_THAT(solve(fine).deflection.back() / reference_thickness, WithinRel(reference, 1e-5));
}

TEST_CASE("a plate that nothing holds is refused", "[plate]") {
    PlateProblem problem = pressed_plate(10);
    problem.inner = EdgeSupport::free;
    CHECK_THROWS_AS(solve(problem), std::invalid_argument);
    problem.inner = EdgeSupport::guided;
    CHECK_THROWS_AS(solve(problem), std::invalid_argument);
    problem = pressed_plate(10);
    problem.thickness = 0.0;
    CHECK_THROWS_AS(solve(problem), std::invalid_argument);
    problem = pressed_plate(10);
    problem.rings.push_back({20e-3, 1.0});
    CHECK_THROWS_AS(solve(problem), std::invalid_argument);
}
