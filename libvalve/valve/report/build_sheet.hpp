#pragma once

#include <valve/report/json.hpp>
#include <valve/study/build_sheet.hpp>

#include <string>

namespace valve::report {

/// What to set or to measure: "float to measure, mid-valve".
std::string words(const study::BenchFigure& figure);

/// How to set it; may be empty.
std::string note(const study::BenchFigure& figure);

Json json(const study::BuildSheet& sheet);

} // namespace valve::report
