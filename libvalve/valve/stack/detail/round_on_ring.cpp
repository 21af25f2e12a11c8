#include <valve/core/detail/index.hpp>
#include <valve/stack/detail/round_on_ring.hpp>

#include <algorithm>
#include <utility>

namespace valve::stack {

State on_ring(const RingProblem& problem, const State& round) {
    State state;
    state.pressure = round.pressure;
    state.x = problem.from_round(round.x);
    for (Eigen::VectorXd* still : {&state.gradient, &state.rate, &state.gradient_rate})
        still->setZero(problem.size());
    state.hold.assign(at(problem.size()), Hold::free);
    for (int i = 0; i < problem.size(); ++i)
        if (!(problem.lower()[i] < problem.upper()[i])) state.hold[at(i)] = Hold::lower;
    const Problem& of = problem.round();
    const int nodes = problem.basis().nodes();
    for (int k = 0; k < of.stations(); ++k)
        for (int p = 0; p < static_cast<int>(of.present(k).size()); ++p)
            std::fill_n(state.hold.begin() + problem.opening(k, p, 0), nodes,
                        round.hold[at(of.opening(k, p))]);
    return state;
}

bool is_wavy(const RingProblem& problem, const State& state) {
    const Eigen::VectorXd lift = problem.face_lift(state.x, problem.round().last_station(0));
    return lift.maxCoeff() - lift.minCoeff() > 1e-4 * problem.thinnest();
}

std::optional<Growth> find_growth(const Problem& round, int waves, const State& below, double told) {
    constexpr double step = 0.01; // of `told`, as the following
    constexpr double furthest = 0.2;
    constexpr double accuracy = 1e-3;
    constexpr int most_steps = 10; // from a state so near three are usual
    // Three nodes round half a wave have the round shape and small waves exactly.
    const RingProblem problem(round, {waves, 2, 2});
    Minimiser minimiser(problem);
    State low = on_ring(problem, below);
    const auto stays = [&](double pressure) {
        State state = low;
        const Outcome outcome = minimiser.solve(pressure, state, most_steps);
        if (!outcome.converged || !outcome.is_minimum || is_wavy(problem, state)) return false;
        low = std::move(state);
        return true;
    };
    if (!stays(below.pressure)) return std::nullopt;
    double high = told;
    while (stays(high)) {
        if (high > (1.0 + furthest) * told) return std::nullopt;
        high += step * told;
    }
    while (high - low.pressure > accuracy * told) {
        const double middle = 0.5 * (low.pressure + high);
        if (!stays(middle)) high = middle;
    }
    const int station = round.seat_station();
    const Eigen::VectorXd shares = problem.basis().shares(1.0);
    const double lift = shares.dot(problem.face_lift(low.x, station)) - round.stack().seat.height;
    const double rate = shares.dot(problem.face_rate(low.x, low.rate, station));
    return Growth{high, lift + rate * (high - low.pressure)};
}

} // namespace valve::stack
