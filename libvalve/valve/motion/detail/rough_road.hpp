#pragma once

#include <cstddef>
#include <cstdint>
#include <stop_token>
#include <vector>

namespace valve::motion::detail {

/// A rough road is told every so much [m].
inline constexpr double rough_spacing = 5e-3;

/// Heights of a road of the displacement density G(n) = G_0 (n/0.1)^−2 from 0.05 to 10 cycles/m, the band
/// that a wheel feels [m]: `points` of them from the road's beginning on, where it is zero. One road for a
/// `seed` however many are asked for: a sum of sines in steps of 1/rough_road_length in wave number, phases
/// at random, to 1e-13 of its largest height. `roughness` G_0 [m³] stretches it. Time goes with points and
/// waves together. Throws Stopped. Sources: iso_8608; bluestein_1970 (the sum by convolution).
std::vector<double> rough_heights(double roughness, std::uint64_t seed, std::size_t points,
                                  const std::stop_token& stop);

} // namespace valve::motion::detail
