#pragma once

#include <valve/setup/detail/reader.hpp>
#include <valve/setup/goal.hpp>

#include <functional>
#include <string>
#include <vector>

namespace valve::setup {

/// Reads a list of lines, each one figure and what it must do, at the dotted key `path` of `file`. Throws
/// InputError at the first fault.
std::vector<GoalLine> read_goal_lines(const Node& list, const std::string& path, Reader& reader,
                                      const std::string& file);

/// Makes the keys of a line that is only there for the reference.
std::function<Keys()> goal_line_reference_keys();

} // namespace valve::setup
