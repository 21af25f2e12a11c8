#include <valve/core/detail/index.hpp>
#include <valve/stack/detail/friction.hpp>

#include <algorithm>
#include <cmath>

namespace valve::stack {
namespace {

/// Σ N |ds/dp|, what a coefficient of 1 loses per unit of pressure [J/Pa].
double loss_rate(const Problem& problem, const State& state) {
    const Problem::Shapes now = problem.shapes(state.x);
    const Problem::Shapes rate = problem.shapes(state.rate); // shapes are linear in the unknowns
    const auto turn = [&](int leaf, int station) { // of one face against the other, as the shim slopes
        return problem.shim_of(leaf).thickness * rate.slope[at(leaf)][at(station)];
    };
    const auto spring = [&](int station, int last) {
        if (station != problem.spring_station()) return 0.0;
        return problem.spring_force(now.w[at(last)][at(station)]);
    };
    double loss = 0.0;
    for (int k = 0; k < problem.stations(); ++k) {
        const std::vector<int>& here = problem.present(k);
        const int count = static_cast<int>(here.size());
        const auto force = [&](int place) { return state.gradient[problem.opening(k, place)]; };
        // Of the supports at a station the land or hub pushes from below, the stop from above.
        double below = std::max(0.0, force(0)) + state.pressure * problem.load()[problem.opening(k, 0)];
        for (int place = 0; place < count; ++place) {
            const int leaf = here[at(place)];
            const bool last = place + 1 == count;
            // A clamp may pull; apart, the force is rounding.
            const double above =
                last ? std::max(0.0, -force(0)) + spring(k, leaf) : std::max(0.0, force(place + 1));
            // Within a leaf of n the i-th contact carries (n − i)/n of the one and i/n of the other.
            loss += 0.5 * (problem.shims_in(leaf) - 1) * (below + above) * std::abs(turn(leaf, k));
            if (last) break;
            const int next = here[at(place + 1)];
            const double slip = rate.radial[at(next)][at(k)] - rate.radial[at(leaf)][at(k)] +
                                0.5 * (turn(leaf, k) + turn(next, k));
            loss += above * std::abs(slip);
            below = above;
        }
    }
    return loss;
}

} // namespace

double friction_pressure(const Problem& problem, const State& state) {
    const double swept = problem.load().dot(state.rate); // dV/dp [m³/Pa]
    return loss_rate(problem, state) / swept;
}

FrictionEstimate friction_of(const Path& path, const State& state, double coefficient) {
    const double share = coefficient * friction_pressure(path.problem(), state) / state.pressure;
    return {state.pressure, share, share * state.pressure * path.lift_rate(state)};
}

} // namespace valve::stack
