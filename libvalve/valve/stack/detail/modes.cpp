#include <valve/plate/detail/vibration.hpp>
#include <valve/stack/detail/modes.hpp>
#include <valve/stack/detail/path.hpp>
#include <valve/stack/detail/small_motion.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace valve::stack {

double frequency(double square) {
    return std::sqrt(square) / (2.0 * std::numbers::pi);
}

namespace {

/// Of all the squares, lowest first. What is nothing against the highest is a rigid motion, and of what it
/// says beyond that, rounding says most.
std::vector<std::optional<double>> frequencies(const std::vector<double>& squares) {
    constexpr double resolved = 1e-9;
    std::vector<std::optional<double>> found;
    for (const double square : squares) {
        if (square < -resolved * squares.back())
            found.emplace_back(std::nullopt);
        else
            found.emplace_back(square > resolved * squares.back() ? frequency(square) : 0.0);
    }
    return found;
}

} // namespace

Modes modes_of_shims(const Problem& problem, const State* state, const ModesOptions& options) {
    Modes result;
    if (state != nullptr) {
        const Contacts touching = contacts(problem, *state);
        result.on_seat = !touching.pairs.empty() && touching.pairs.begin()->first.first == 0;
        result.on_hub = touching.hub;
        result.on_stop = touching.stop;
    }
    for (int n = 0; n <= options.most_diameters; ++n) {
        plate::Vibration vibration = small_motion(problem, state, n);
        const auto air = frequencies(plate::lowest_squares(vibration, options.families));
        std::vector<std::optional<double>> oil(air.size());
        if (options.oil_density > 0.0) {
            vibration.oil_density = options.oil_density;
            oil = frequencies(plate::lowest_squares(vibration, options.families));
            // Mass that is added makes no motion faster; what lies between is rounding.
            for (std::size_t family = 0; family < air.size(); ++family)
                if (air[family] && oil[family]) oil[family] = std::min(*oil[family], *air[family]);
        }
        for (std::size_t family = 0; family < air.size(); ++family)
            result.modes.push_back({n, static_cast<int>(family), air[family], oil[family]});
    }
    return result;
}

} // namespace valve::stack
