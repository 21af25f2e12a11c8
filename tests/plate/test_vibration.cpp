#include <single_plate/single_plate.hpp>
#include <support/catch.hpp>
#include <valve/plate/detail/vibration.hpp>

#include <cmath>
#include <stdexcept>
#include <utility>

using namespace valve::plate;
using namespace valve::validation;

namespace {

PlateProblem shim() {
    PlateProblem problem;
    problem.inner_radius = 6e-3;
    problem.outer_radius = 15e-3;
    problem.thickness = 0.2e-3;
    return problem;
}

std::vector<double> squares(const PlateProblem& problem, int n, double oil_density = 0.0) {
    Vibration vibration = vibration_of(problem, nullptr, n);
    vibration.oil_density = oil_density;
    return lowest_squares(vibration, 3);
}

} // namespace

TEST_CASE("halving the mesh changes frequencies sixteen times less each time", "[plate]") {
    for (int n = 0; n <= 3; ++n) {
        CAPTURE(n);
        PlateProblem problem = shim();
        std::vector<double> found; // of the third family, which converges last
        for (const int elements : {20, 40, 80}) {
            problem.grading.elements = elements;
            found.push_back(squares(problem, n).back());
        }
        // Cubic elements: ω² from above, its error as size⁴; the next halving's is a fifteenth of the last
        // change.
        CHECK(found[0] > found[1]);
        CHECK(found[1] > found[2]);
        CHECK_THAT((found[0] - found[1]) / (found[1] - found[2]), WithinRel(16.0, 0.1));
        CHECK((found[1] - found[2]) / 15.0 < 2e-6 * found[2]);
    }
}

TEST_CASE("oil makes every mode slower, and converges with the mesh", "[plate]") {
    for (int n = 0; n <= 3; ++n) {
        CAPTURE(n);
        PlateProblem problem = shim();
        const std::vector<double> air = squares(problem, n);
        const std::vector<double> oil = squares(problem, n, 850.0);
        problem.grading.elements = 80;
        const std::vector<double> fine = squares(problem, n, 850.0);
        for (std::size_t i = 0; i < 3; ++i) {
            CHECK(oil[i] < 0.7 * air[i]);
            // The jump of the potential has a root at the rim, which Gauss' rule meets in the last element.
            CHECK_THAT(oil[i], WithinRel(fine[i], 1e-4));
        }
    }
}

TEST_CASE("a bent plate that nothing holds floats and tilts freely", "[plate]") {
    PlateProblem problem = shim();
    problem.inner = EdgeSupport::simple;
    problem.theory = PlateTheory::von_karman;
    problem.pressures = {{6e-3, 15e-3, 2e4, 2e4}};
    const PlateSolution bent = solve(problem);
    REQUIRE(bent.deflection.back() > problem.thickness);
    problem.inner = EdgeSupport::free;
    // A rigid motion of a bent plate is free of energy only if every term of the tangent is right: rounding
    // against the first elastic mode.
    for (const int n : {0, 1}) {
        const std::vector<double> found = lowest_squares(vibration_of(problem, &bent, n), 2);
        CHECK(found[1] > 0.0);
        CHECK(std::abs(found[0]) < 1e-9 * found[1]);
    }
}

TEST_CASE("a plate bent by less than its thickness vibrates as a flat one", "[plate]") {
    PlateProblem problem = shim();
    problem.theory = PlateTheory::von_karman;
    problem.pressures = {{6e-3, 15e-3, 50.0, 50.0}};
    const PlateSolution bent = solve(problem);
    const double share = bent.deflection.back() / problem.thickness;
    for (int n = 0; n <= 3; ++n) {
        const double flat = squares(problem, n).front();
        const double found = lowest_squares(vibration_of(problem, &bent, n), 1).front();
        // The stiffening goes with the square of the deflection over the thickness.
        CHECK_THAT(found, WithinRel(flat, 2.0 * share * share));
        CHECK(found != flat);
    }
}

TEST_CASE("a vibration that does not fit together is refused", "[plate]") {
    const Vibration sound = vibration_of(shim(), nullptr, 2);
    Vibration wrong = sound;
    wrong.plates.clear();
    CHECK_THROWS_AS(lowest_squares(wrong, 1), std::invalid_argument);
    wrong = sound;
    wrong.nodes.resize(3);
    CHECK_THROWS_AS(lowest_squares(wrong, 1), std::invalid_argument);
    wrong = sound;
    wrong.springs = {{sound.unknowns, 1.0}};
    CHECK_THROWS_AS(lowest_squares(wrong, 1), std::invalid_argument);
}

TEST_CASE("stiffness by nodes wants unknowns that rise with them, each at one node", "[plate]") {
    const Vibration sound = vibration_of(shim(), nullptr, 2);
    const BlockTridiagonal matrix = stiffness(sound);
    CHECK(matrix.rows() == sound.unknowns);
    CHECK(matrix.stations() == static_cast<int>(sound.nodes.size()));
    Vibration wrong = sound;
    std::swap(wrong.plates.front().unknowns[3], wrong.plates.front().unknowns[4]);
    CHECK_THROWS_AS(stiffness(wrong), std::invalid_argument);
    wrong = sound;
    ++wrong.unknowns;
    CHECK_THROWS_AS(stiffness(wrong), std::invalid_argument);
}
