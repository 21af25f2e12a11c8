#pragma once

#include <valve/stack/spec.hpp>

#include <vector>

namespace valve::stack::testing {

struct Cut {
    double radius_mm;
    double thickness_mm;
};

/// Clamp 6 mm, `windows` of `coverage` of the ring from 8 mm to a land from 14 to 14.5 mm.
inline Stack windowed(const std::vector<Cut>& cuts, int windows, double coverage,
                      double seat_height_mm = 0.0) {
    Stack stack;
    stack.clamp_radius = stack.bore_radius = 6e-3;
    stack.zone = {8e-3, 14e-3};
    stack.seat = {14e-3, 14.5e-3, 1e-3 * seat_height_mm};
    stack.windows = windows;
    stack.coverage = coverage;
    for (const Cut& cut : cuts)
        stack.shims.push_back({1e-3 * cut.radius_mm, 1e-3 * cut.thickness_mm, {}});
    return stack;
}

} // namespace valve::stack::testing
