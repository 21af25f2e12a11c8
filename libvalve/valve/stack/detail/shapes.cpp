#include <valve/stack/detail/shapes.hpp>

namespace valve::stack {

std::vector<ShimShape> shapes_of(const Problem& problem, const State& state) {
    const Problem::Shapes shapes = problem.shapes(state.x);
    std::vector<ShimShape> shims;
    for (int leaf = 0; leaf < problem.leaves(); ++leaf) {
        const std::vector<double>& lift = shapes.w[static_cast<std::size_t>(leaf)];
        std::vector<double> radius;
        for (int station = 0; station < static_cast<int>(lift.size()); ++station)
            radius.push_back(problem.radius(station));
        for (int shim = problem.first_shim(leaf); shim <= problem.last_shim(leaf); ++shim)
            shims.push_back({shim, radius, lift});
    }
    return shims;
}

} // namespace valve::stack
