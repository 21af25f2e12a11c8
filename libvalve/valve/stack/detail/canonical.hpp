#pragma once

#include <valve/stack/lift_curve.hpp>

#include <cstdint>

namespace valve::stack {

/// `stack` without what does not count: two stacks that bend alike, however they were written, are equal
/// then. Left out are how a float's preload came about, and of a clamped stack where the metal within the
/// clamp ends and what its spacers are made of and how wide.
Stack canonical(const Stack& stack);

/// A hash of `stack`, which is canonical, and `options`; equal ones have the same.
std::uint64_t fingerprint(const Stack& stack, const FollowOptions& options);

} // namespace valve::stack
