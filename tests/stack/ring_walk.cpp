#include <stack/random_stack.hpp>
#include <stack/ring_walk.hpp>
#include <stack/verify_ring.hpp>
#include <stack/windowed.hpp>
#include <valve/stack/detail/path.hpp>
#include <valve/stack/detail/ring_path.hpp>
#include <valve/stack/solution.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace valve::stack::testing {
namespace {

/// Whether a path ends there by the rules of a curve.
bool is_end(const std::string& refusal) {
    return refusal.find("beyond the theory") != std::string::npos ||
           refusal.find("times its yield") != std::string::npos;
}

/// Verifies the state at `pressure`; false where there is none.
bool verify_at(RingPath& path, Path& round, double pressure, RingWalk& walk) {
    const std::optional<State> state = path.state_at(pressure);
    if (!state) {
        (is_end(path.refusal()) ? walk.worst.end : walk.worst.failure) = path.refusal();
        return false;
    }
    walk.worst.take_worse(verify(path.problem(), *state));
    ++walk.states;
    if (const State* same = round.at(pressure)) {
        const double energy = path.problem().energy(state->x, pressure);
        const double of_round = path.problem().energy(path.problem().from_round(same->x), pressure);
        walk.energy = std::max(walk.energy, (energy - of_round) / std::abs(of_round));
    }
    return true;
}

/// Whether the branch, followed down below where the round shape buckles, is there in waves: then it begins
/// with a jump, and not with small waves.
bool still_in_waves(RingPath& path, double pressure) {
    const std::optional<State> state = path.state_at(pressure);
    if (!state) return false;
    const Eigen::VectorXd lift = path.problem().face_lift(state->x, path.problem().round().seat_station());
    return lift.maxCoeff() - lift.minCoeff() > 0.01 * std::abs(lift.maxCoeff());
}

/// Lift of a round shape over its seat [m]; not a number where there is none.
double seat_lift(Path& round, double pressure) {
    const State* state = round.at(pressure);
    if (state == nullptr) return std::numeric_limits<double>::quiet_NaN();
    const Problem& problem = round.problem();
    return state->x[problem.opening(problem.seat_station(), 0)] - problem.stack().seat.height;
}

/// One shim: others touch at their faces, of which neither the round shape nor small waves know.
bool is_one_shim(const RingProblem& problem) {
    return problem.round().leaves() == 1 && problem.round().shims_in(0) == 1;
}

/// Whether everything that may touch does so all round, or nowhere, as in the round shape: contact that comes
/// and goes round the ring is no small wave. The hub may let go between ports while it bears on the land.
bool touches_as_round(RingPath& path, Path& round, double pressure) {
    const std::optional<State> state = path.state_at(pressure);
    const State* same = round.at(pressure);
    if (!state || same == nullptr) return false;
    const RingProblem& ring = path.problem();
    for (int k = 0; k < ring.round().stations(); ++k)
        for (int p = 0; p < static_cast<int>(ring.round().present(k).size()); ++p)
            for (int j = 0; j < ring.basis().nodes(); ++j)
                if (state->hold[static_cast<std::size_t>(ring.opening(k, p, j))] !=
                    same->hold[static_cast<std::size_t>(ring.round().opening(k, p))])
                    return false;
    return true;
}

} // namespace

std::string RingWalk::words() const {
    if (!worst.failure.empty()) return worst.failure;
    return fmt::format("{}, energy {:.1g} above round, limit off by {:.1g}", worst.words(), energy, limit);
}

void RingWalk::take_worse(const RingWalk& other) {
    worst.take_worse(other.worst);
    energy = std::max(energy, other.energy);
    limit = std::max(limit, other.limit);
}

Stack random_ring(std::mt19937& random, int most_shims) {
    Stack stack = random_stack(random, most_shims);
    if (stack.edge == InnerEdge::guided) stack.edge = InnerEdge::free;
    if (random() % 5 < 3) {
        stack.windows = 2 + static_cast<int>(random() % 5);
        stack.coverage = 0.05 * static_cast<double>(6 + random() % 13); // 0.3 to 0.9
    }
    return stack;
}

RingWalk walk_ring(const Stack& stack) {
    RingWalk walk;
    const RingDivision division;
    const Solution solution(stack, {.max_pressure = 60e5});
    std::optional<Waves> waves;
    if (stack.windows < 1) {
        waves = solution.waves_up_to(60e5);
        walk.round = !waves;
        if (!waves) return walk;
    }
    RingPath path(stack, waves);
    Path round(stack, Theory::large_deflection, division.along);
    if (waves && waves->pressure > 0.0) {
        for (const double times : {1.005, 1.3, 2.0})
            if (!verify_at(path, round, times * waves->pressure, walk)) return walk;
        const std::optional<UnevenLift> small = path.at(1.005 * waves->pressure);
        walk.jumps = still_in_waves(path, 0.99 * waves->pressure);
        const double before = seat_lift(round, waves->pressure);
        const double lift = seat_lift(round, 1.005 * waves->pressure);
        // What opens where it buckles has no lift yet that small waves would leave alone.
        const bool opens_there = !(before > 0.9 * lift);
        if (small && !walk.jumps && !opens_there && is_one_shim(path.problem())) {
            walk.limited = true;
            walk.limit = std::abs(small->state.seat_lift - lift) / std::abs(lift);
        }
        return walk;
    }
    for (const double pressure : {0.01e5, 0.3e5, 2e5, 8e5, 30e5}) {
        if (!verify_at(path, round, pressure, walk)) return walk;
        const std::optional<UnevenLift> bent = path.at(pressure);
        const std::optional<RingLift> linear = waves ? std::nullopt : solution.ring_lift(pressure);
        const bool small = bent && linear && linear->waviness < 0.02 &&
                           linear->mid_land > 0.1 * linear->mean && is_one_shim(path.problem()) &&
                           touches_as_round(path, round, pressure);
        if (!small) continue;
        walk.limited = true;
        walk.limit = std::max({walk.limit, std::abs(bent->mid_port - linear->mid_port) / linear->mean,
                               std::abs(bent->mid_land - linear->mid_land) / linear->mean});
    }
    return walk;
}

bool sees_faults() {
    RingPath path(windowed({{15, 0.2}, {13, 0.2}}, 3, 0.4, 0.05), std::nullopt);
    const std::optional<State> state = path.state_at(4e5);
    if (!state) return false;
    const auto holds = [&](const State& one) {
        Walk walk;
        walk.take_worse(verify(path.problem(), one));
        return walk.holds();
    };
    if (!holds(*state)) return false;
    const Problem& round = path.problem().round();
    for (const int station : {round.seat_station(), round.stations() / 2, round.last_station(1)})
        for (int node = 0; node < path.problem().basis().nodes(); ++node) {
            State moved = *state;
            moved.x[path.problem().opening(station, 0, node)] += 1e-8; // of some tenths of a millimetre [m]
            if (holds(moved)) return false;
            State pressed = *state;
            pressed.pressure *= 1.0001;
            if (holds(pressed)) return false;
        }
    return true;
}

} // namespace valve::stack::testing
