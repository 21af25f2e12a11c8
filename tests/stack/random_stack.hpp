#pragma once

#include <valve/stack/spec.hpp>

#include <random>

namespace valve::stack::testing {

/// A legal stack: 1 to `most_shims` shims of 0.05–0.40 mm, clamp 6–20 mm, outers to 44 mm; a third tapers, a
/// third two-stage, a third in any order; seat height, float, spring and rest drawn too. Diameters to 0.1 mm,
/// thicknesses to 0.05 mm, as shims are sold.
Stack random_stack(std::mt19937& random, int most_shims = 30);

} // namespace valve::stack::testing
