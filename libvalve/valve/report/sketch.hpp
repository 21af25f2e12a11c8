#pragma once

#include <valve/flow/spec.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// Shims that follow each other and are alike.
struct ShimRun {
    int first = 0; ///< index in the stack, from 0
    int count = 0;
    stack::Shim shim;
};

std::vector<ShimRun> runs(const stack::Stack& stack);

/// "6 * 24 x 0.15", as a set-up file writes it [mm].
std::string words(const ShimRun& run);

/// Half-section of a stack on its piston, drawn with text: the axis at the left, the piston face at the
/// bottom. Radii are to scale; the height of a bar shows a shim's thickness, an eighth of a line for 0.05 mm.
std::string sketch(const stack::Stack& stack);

} // namespace valve::report
