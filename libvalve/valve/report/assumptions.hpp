#pragma once

#include <valve/report/json.hpp>
#include <valve/setup/read.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace valve::report {

/// "clamped", "free edge", "guided edge".
std::string_view words(stack::InnerEdge edge);

/// "hub", "seat".
std::string_view words(stack::RestsOn rests_on);

/// "base.refill (free edge, rests on hub)": the choices that decide a floated stack's forces.
/// Empty where no stack floats.
std::string floated_valves(const damper::SetUp& unit);

/// [{key, value}] as they could stand in the file.
Json json(const std::vector<setup::DefaultUsed>& defaults);

/// One line: how many values the file left to their defaults, and where to see them.
std::string defaults_line(const std::vector<setup::DefaultUsed>& defaults);

} // namespace valve::report
