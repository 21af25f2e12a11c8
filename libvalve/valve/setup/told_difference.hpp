#pragma once

#include <valve/setup/document.hpp>

#include <vector>

namespace valve::setup {

/// What differs between two set-ups as it is told to somebody: of differences() those that make a difference
/// once they are read, "46 mm" and "4.6 cm" being alike, and so a default that one of the two writes. Values
/// are in the unit that the key documents, beside it as written where that is another: "34.925 mm (1.375
/// in)", rounded; a key that is left out is told by what it comes to, "0.5 % (default)". Throws as read().
std::vector<Difference> told_differences(const Document& from, const Document& to);

/// Those of differences() that told_differences() tells, as written, in the same order. Throws as read().
std::vector<Difference> real_differences(const Document& from, const Document& to);

} // namespace valve::setup
