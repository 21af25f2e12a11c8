#pragma once

#include <valve/report/json.hpp>
#include <valve/study/section.hpp>

namespace valve::report {

/// Lengths in metres, rounded to a nanometre; shapes thinned out to what a drawing can show: straight lines
/// between their points are within 1/2000 of the largest lift in the section.
Json json(const study::Section& section);

} // namespace valve::report
