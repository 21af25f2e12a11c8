#include <valve/plate/detail/vibration.hpp>
#include <valve/stack/detail/load.hpp>
#include <valve/stack/detail/path.hpp>
#include <valve/stack/detail/small_motion.hpp>
#include <valve/stack/follow.hpp>
#include <valve/stack/modes.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace valve::stack {
namespace {

double frequency(double square) {
    return std::sqrt(square) / (2.0 * std::numbers::pi);
}

/// Of all the squares, lowest first. What is nothing against the highest is a rigid motion.
std::vector<std::optional<double>> frequencies(const std::vector<double>& squares) {
    constexpr double resolved = 1e-9;
    std::vector<std::optional<double>> found;
    for (const double square : squares) {
        if (square < -resolved * squares.back())
            found.emplace_back(std::nullopt);
        else
            found.emplace_back(frequency(std::max(square, 0.0)));
    }
    return found;
}

Modes modes_of_disc(const Stack& stack, const ModesOptions& options) {
    Modes result;
    if (options.pressure) {
        const LiftPoint point = states_at(stack, std::array{*options.pressure}).front();
        result.on_seat = point.seat_force > 0.0;
        result.on_hub = point.hub_force > 0.0;
        result.on_stop = point.stop_force > 0.0;
    }
    if (result.on_seat || result.on_hub || result.on_stop) return result;
    const double a = stack.disc->outer_radius;
    const double mass = stack.disc->mass;
    const double rate = closing_rate(stack);
    Mode bounce{0, 0, frequency(rate / mass), std::nullopt};
    if (options.oil_density > 0.0)
        bounce.frequency_oil = frequency(rate / (mass + 8.0 / 3.0 * options.oil_density * a * a * a));
    result.modes.push_back(bounce);
    return result;
}

Modes modes_of_shims(const Stack& stack, const ModesOptions& options) {
    Path path(stack, options.theory, options.grading);
    const Problem& problem = path.problem();
    Modes result;
    const State* state = nullptr;
    if (options.pressure) {
        state = path.at(*options.pressure);
        if (state == nullptr) throw SolveError(path.refusal());
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
        }
        for (std::size_t family = 0; family < air.size(); ++family)
            result.modes.push_back({n, static_cast<int>(family), air[family], oil[family]});
    }
    return result;
}

} // namespace

Modes natural_frequencies(const Stack& stack, const ModesOptions& options) {
    if (options.most_diameters < 0 || options.families < 1 || !(options.oil_density >= 0.0) ||
        (options.pressure && !(*options.pressure >= 0.0)))
        throw std::invalid_argument("ModesOptions: a negative number, or no family");
    if (stack.disc && !(stack.disc->mass > 0.0))
        throw std::invalid_argument("natural_frequencies: the disc has no mass");
    return stack.disc ? modes_of_disc(stack, options) : modes_of_shims(stack, options);
}

} // namespace valve::stack
