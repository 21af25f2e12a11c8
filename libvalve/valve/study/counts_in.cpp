#include <valve/study/counts_in.hpp>

#include <algorithm>
#include <array>
#include <cstddef>
#include <string>

namespace valve::study {

namespace {

constexpr std::array<std::string_view, 9> in_time{"oil.bulk_modulus", "oil.free_air",  "damper.dead_length",
                                                  "reservoir.mass",   "ports.length",  "disc.mass",
                                                  "material.density", "shim_friction", "restitution"};
constexpr std::size_t of_valves = 4; // from here on
constexpr std::array<std::string_view, 2> on_rides{"vehicle.unsprung", "vehicle.tyre"};

} // namespace

CountsIn counts_in(std::string_view key) {
    const auto is_or_is_below = [key](std::string_view one) {
        return key.starts_with(one) && (key.size() == one.size() || key[one.size()] == '.');
    };
    const auto is_of_valve = [key](std::string_view one) {
        return key.starts_with("valves.") && key.ends_with(one) && key[key.size() - one.size() - 1] == '.';
    };
    if (std::any_of(on_rides.begin(), on_rides.end(), is_or_is_below)) return CountsIn::rides;
    if (std::any_of(in_time.begin(), in_time.begin() + of_valves, is_or_is_below) ||
        std::any_of(in_time.begin() + of_valves, in_time.end(), is_of_valve))
        return CountsIn::time;
    return CountsIn::all;
}

CountsIn counts_in(const setup::Difference& difference) {
    if (difference.parts.empty()) return counts_in(difference.key);
    CountsIn least = CountsIn::rides;
    for (const std::string& part : difference.parts)
        least = std::min(least, counts_in(part));
    return least;
}

std::span<const std::string_view> keys_in_time() {
    return in_time;
}

} // namespace valve::study
