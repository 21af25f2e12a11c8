#pragma once

#include <valve/damper/spec.hpp>

#include <string>
#include <vector>

namespace program {

/// The valves that `--valve` names, each once. Throws UsageError for a name that is none.
std::vector<valve::damper::Place> places_of(const std::vector<std::string>& names);

} // namespace program
