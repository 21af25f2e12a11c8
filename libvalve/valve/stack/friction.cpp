#include <valve/stack/friction.hpp>
#include <valve/stack/path.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace valve::stack {
namespace {

std::size_t at_index(int index) {
    return static_cast<std::size_t>(index);
}

/// Σ N |ds/dp|, what a coefficient of 1 loses per unit of pressure [J/Pa].
double loss_rate(const Problem& problem, const State& state) {
    const Problem::Shapes rate = problem.shapes(state.rate); // shapes are linear in the unknowns
    auto half_turn = [&](int shim, int station) {            // of the face, sideways, as the shim slopes
        const Shim& cut = problem.stack().shims[at_index(problem.number(shim) - 1)];
        return 0.5 * cut.thickness * rate.slope[at_index(shim)][at_index(station)];
    };
    double loss = 0.0;
    for (int k = 0; k < problem.stations(); ++k) {
        const std::vector<int>& here = problem.present(k);
        for (int place = 1; place < static_cast<int>(here.size()); ++place) {
            const int below = here[at_index(place - 1)];
            const int above = here[at_index(place)];
            const double slip = rate.radial[at_index(above)][at_index(k)] -
                                rate.radial[at_index(below)][at_index(k)] + half_turn(below, k) +
                                half_turn(above, k);
            // A clamp may pull; apart, the force is rounding.
            loss += std::max(0.0, state.gradient[problem.opening(k, place)]) * std::abs(slip);
        }
    }
    return loss;
}

} // namespace

std::vector<FrictionEstimate> friction_at(const Stack& stack, std::span<const double> pressures,
                                          double coefficient, const FollowOptions& options) {
    if (!(coefficient >= 0.0))
        throw std::invalid_argument(
            fmt::format("friction_at: {} is no coefficient of friction", coefficient));
    for (const double pressure : pressures)
        if (!(pressure > 0.0))
            throw std::invalid_argument(
                fmt::format("friction_at: {} Pa is no pressure above zero", pressure));
    std::vector<FrictionEstimate> estimates;
    if (stack.disc) {
        for (const LiftPoint& state : states_at(stack, pressures, options))
            estimates.push_back({state.pressure, 0.0, 0.0});
        return estimates;
    }
    Path path(stack, options.theory, plate::Grading{});
    path.reach(pressures);
    for (const double pressure : pressures) {
        const State& state = *path.at(pressure);
        const double swept = path.problem().load().dot(state.rate); // dV/dp [m³/Pa]
        const double share = coefficient * loss_rate(path.problem(), state) / (pressure * swept);
        estimates.push_back({pressure, share, share * pressure * path.lift_rate(state)});
    }
    return estimates;
}

} // namespace valve::stack
