#include <valve/stack/detail/path.hpp>
#include <valve/stack/shapes.hpp>

#include <utility>

namespace valve::stack {

namespace {

std::vector<ShimShape> shims_of(const Problem& problem, const State& state) {
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

} // namespace

std::vector<StackShape> shapes_at(const Stack& stack, std::span<const double> pressures,
                                  const FollowOptions& options) {
    std::vector<StackShape> shapes;
    if (stack.disc) {
        for (const LiftPoint& state : states_at(stack, pressures, options))
            shapes.push_back({state, {}});
        return shapes;
    }
    Path path(stack, options.theory, plate::Grading{});
    path.reach(pressures);
    for (const double pressure : pressures)
        shapes.push_back({*path.point(pressure), shims_of(path.problem(), *path.at(pressure))});
    return shapes;
}

} // namespace valve::stack
