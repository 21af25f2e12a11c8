#include <plate/unit_plate.hpp>

#include <numbers>

namespace valve::validation {
namespace {

constexpr double two_pi = 2.0 * std::numbers::pi;

/// `reaction` is positive in the direction of the load, `side` is 1 at the rim and −1 at the inner edge:
/// shear is what the inner part of the plate does to the outer.
EdgeCoefficients at(const plate::PlateSolution& s, std::size_t node, double reaction, double side) {
    const double moment_unit = stiffness() / rim; // q a²
    const double shear_unit = moment_unit / rim;  // q a
    return {-s.deflection[node] / rim, -s.slope[node], s.resultants[node].M_r / moment_unit,
            s.resultants[node].M_t / moment_unit, side * reaction / (two_pi * s.radius[node] * shear_unit)};
}

} // namespace

double stiffness() {
    return plate::bending_stiffness(plate::Material{}, thickness);
}

plate::PlateProblem unit_plate(double inner_ratio, const RoarkSupports& supports) {
    plate::PlateProblem problem;
    problem.inner_radius = inner_ratio * rim;
    problem.outer_radius = rim;
    problem.thickness = thickness;
    problem.inner = supports.inner;
    problem.outer = supports.outer;
    return problem;
}

void put_on(plate::PlateProblem& problem, RoarkLoad load, double from_ratio, double lift) {
    const double w = lift * stiffness() / (rim * rim * rim);
    const double q = w / rim;
    const double from = from_ratio * rim;
    if (load == RoarkLoad::ring)
        problem.rings.push_back({from, w * two_pi * from});
    else
        problem.pressures.push_back({from, rim, load == RoarkLoad::rising ? 0.0 : q, q});
}

PlateCoefficients coefficients(const plate::PlateSolution& s) {
    return {at(s, 0, s.inner_reaction, -1.0), at(s, s.radius.size() - 1, s.outer_reaction, 1.0)};
}

} // namespace valve::validation
