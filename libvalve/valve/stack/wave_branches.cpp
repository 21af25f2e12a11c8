#include <valve/core/bracket.hpp>
#include <valve/core/error.hpp>
#include <valve/stack/detail/path.hpp>
#include <valve/stack/detail/ring_path.hpp>
#include <valve/stack/detail/round_test.hpp>
#include <valve/stack/wave_branches.hpp>

#include <optional>

namespace valve::stack {
namespace {

constexpr int fewest_waves = 2;

/// From where on, above `first` and up to `pressure`, the round shape does not resist so many waves; none
/// where it still does.
std::optional<double> buckles_into(int waves, Path& round, double first, double pressure) {
    const auto resists = [&](double at) -> std::optional<bool> {
        const State* state = round.at(at);
        if (state == nullptr) return std::nullopt;
        return is_stable(round.problem(), *state, waves);
    };
    if (resists(pressure).value_or(true)) return std::nullopt;
    return bisect(first, pressure, 1e-2, resists).high;
}

/// Whether waves have twice the number that they were looked for with: then they have a crest half-way too.
bool has_twice_the_waves(const UnevenLift& lift) {
    return lift.mid_port - lift.mid_land < 0.5 * (lift.crest - lift.trough);
}

/// `round`: the state of the round shape, on the division of a RingPath.
std::optional<WaveBranch> branch_of(const Stack& stack, const Waves& waves, double pressure,
                                    const State& round) {
    RingPath path(stack, waves);
    const std::optional<UnevenLift> lift = path.at(pressure);
    if (!lift || has_twice_the_waves(*lift)) return std::nullopt;
    const std::optional<State> state = path.state_at(pressure);
    if (!state) return std::nullopt;
    // With contact where that of the waves is: what the round state is off by then counts twice over, as
    // little.
    const double round_energy = path.problem().energy(path.problem().from_round(round.x), pressure);
    return WaveBranch{waves, *lift, round_energy - path.problem().energy(state->x, pressure)};
}

} // namespace

std::vector<WaveBranch> wave_branches(const Solution& solution, double pressure) {
    const Stack& stack = solution.stack();
    if (stack.windows > 0 || !solution.uneven(pressure)) return {};
    const Waves first = solution.waves_up_to(pressure).value();
    Path coarse(stack, Theory::large_deflection, RingDivision{}.along); // so that energies are of one mesh
    const State* state = coarse.at(pressure);
    if (state == nullptr) throw SolveError(coarse.refusal());

    Path round(stack, Theory::large_deflection, plate::Grading{});
    std::vector<WaveBranch> branches;
    for (const int count : {first.count, first.count - 1, first.count + 1}) {
        if (count < fewest_waves) continue;
        std::optional<double> from = first.pressure;
        if (count != first.count) from = buckles_into(count, round, first.pressure, pressure);
        if (!from) continue;
        if (auto branch = branch_of(stack, {*from, count}, pressure, *state)) branches.push_back(*branch);
    }
    return branches;
}

} // namespace valve::stack
