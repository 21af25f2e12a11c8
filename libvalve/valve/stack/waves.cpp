#include <valve/core/bracket.hpp>
#include <valve/stack/detail/small_motion.hpp>
#include <valve/stack/waves.hpp>

#include <algorithm>
#include <array>

namespace valve::stack {
namespace {

/// In stacks of common sizes 3 or 4 waves come first, seldom 5.
constexpr std::array<int, 4> wave_counts{2, 3, 4, 5};

/// The fewest waves that buckle out of a state; 0: none do.
int buckles_into(const Problem& problem, const State& state) {
    const auto found = std::find_if(wave_counts.begin(), wave_counts.end(),
                                    [&](int n) { return !is_stable(problem, state, n); });
    return found != wave_counts.end() ? *found : 0;
}

} // namespace

bool is_stable(const Problem& problem, const State& state, int nodal_diameters) {
    const plate::Vibration motion = small_motion(problem, &state, nodal_diameters);
    const plate::BlockTridiagonal stiffness = plate::stiffness(motion);
    const std::vector<char> all(static_cast<std::size_t>(motion.unknowns), 1);
    return plate::BlockCholesky(stiffness).factor(stiffness, all);
}

std::optional<Waves> first_waves(Path& path, const LiftCurve& curve) {
    if (path.problem().theory() == Theory::linear) return std::nullopt;
    double round = 0.0;
    for (const double pressure : landmarks(curve)) {
        const State* state = path.at(pressure);
        if (state == nullptr) return std::nullopt;
        int waves = buckles_into(path.problem(), *state);
        if (waves == 0) {
            round = pressure;
            continue;
        }
        const Bracket found = bisect(round, pressure, 1e-3, [&](double middle) -> std::optional<bool> {
            const State* between = path.at(middle);
            if (between == nullptr) return std::nullopt;
            const int here = buckles_into(path.problem(), *between);
            if (here > 0) waves = here;
            return here == 0;
        });
        return Waves{found.high, waves};
    }
    return std::nullopt;
}

} // namespace valve::stack
