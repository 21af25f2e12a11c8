#pragma once

#include <valve/stack/spec.hpp>
#include <valve/stack/uneven_shape.hpp>

#include <string>

namespace valve::report {

/// Two half-sections of a stack that is not round, drawn with text side by side, the numbers of the shims as
/// they lie, and the lift between them round the ring. Radii are to scale, and heights to another one, which
/// is told.
std::string drawing(const stack::UnevenShape& shape, const stack::Stack& stack);

} // namespace valve::report
