// A user of the installed library: lifts one clamped shim and exits with 0 if it lifts.
#include <valve/plate/annular_plate.hpp>

int main() {
    valve::plate::PlateProblem shim;
    shim.inner_radius = 6e-3;
    shim.outer_radius = 11e-3;
    shim.thickness = 0.15e-3;
    shim.pressures = {{6e-3, 11e-3, 1e5, 1e5}};
    const valve::plate::PlateSolution solution = valve::plate::solve(shim);
    return solution.converged && solution.deflection.back() > 0.0 ? 0 : 1;
}
