#include <valve/stack/stress.hpp>

namespace valve::stack {

std::optional<double> yield_share(double stress, const plate::Material& material) {
    if (!material.yield_strength) return std::nullopt;
    return stress / *material.yield_strength;
}

std::optional<double> fatigue_share(double stress, const plate::Material& material) {
    if (!material.fatigue_limit) return std::nullopt;
    const double amplitude = 0.5 * stress / *material.fatigue_limit;
    return material.yield_strength ? amplitude + 0.5 * stress / *material.yield_strength : amplitude;
}

} // namespace valve::stack
