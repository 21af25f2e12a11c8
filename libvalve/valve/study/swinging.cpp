#include <valve/core/error.hpp>
#include <valve/motion/stability.hpp>
#include <valve/study/swinging.hpp>

#include <algorithm>
#include <cstddef>
#include <optional>

namespace valve::study {

namespace {

constexpr double slowest = 0.05; // that is looked at [m/s]

} // namespace

std::vector<SwingOnset> swing_onsets(const damper::Model& model, const motion::MovingValves& valves,
                                     double travel, double fastest) {
    const motion::MovingValves slippery = valves.without_friction();
    std::vector<SwingOnset> onsets;
    for (const damper::Stroke stroke : {damper::Stroke::compression, damper::Stroke::rebound}) {
        const double sign = stroke == damper::Stroke::compression ? 1.0 : -1.0;
        const auto growing = [&](double speed) -> std::optional<motion::Oscillation> {
            try {
                const auto swing = motion::least_damped(model, slippery, sign * speed, travel);
                return swing && swing->growth > 0.0 ? swing : std::nullopt;
            } catch (const SolveError&) {
                return std::nullopt;
            }
        };
        constexpr double step = 1.1;
        double below = 0.0;
        double above = std::min(slowest, fastest);
        std::optional<motion::Oscillation> swing = growing(above);
        // The same speeds whatever was asked: the last lies beyond.
        while (!swing && above < fastest) {
            below = above;
            above *= step;
            swing = growing(above);
        }
        if (!swing && above > fastest) { // where there may be no steady state
            above = fastest;
            swing = growing(above);
        }
        if (!swing) continue;
        constexpr int halvings = 10; // of a tenth of the speed
        for (int i = 0; i < halvings && below > 0.0; ++i) {
            const double middle = 0.5 * (below + above);
            if (const auto there = growing(middle)) {
                swing = there;
                above = middle;
            } else {
                below = middle;
            }
        }
        if (above > fastest) continue;
        onsets.push_back({swing->valve, stroke, above, swing->frequency});
    }
    return onsets;
}

} // namespace valve::study
