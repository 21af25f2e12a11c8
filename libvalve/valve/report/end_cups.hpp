#pragma once

#include <valve/damper/spec.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// "end of stroke: a plug of 16 mm enters its cup over the last 25 mm of travel in C, gap 0.8 to 0.25 mm"; a
/// line for each cup that the damper has.
std::vector<std::string> end_cup_lines(const damper::Cartridge& cartridge);

} // namespace valve::report
