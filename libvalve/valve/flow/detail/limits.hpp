#pragma once

#include <valve/core/findings.hpp>

namespace valve::flow {

// What the numbers of a passage can be, wherever it is. A coefficient or a flow number of less is a passage
// that is shut; give it no area instead.
inline constexpr Limits coefficients{0.01, 1.0, ""};
inline constexpr Limits transitions{1e-9, 1e6, ""};
inline constexpr Limits hole_diameters{0.001, 1000.0, "mm"};

} // namespace valve::flow
