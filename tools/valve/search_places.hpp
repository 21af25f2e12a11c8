#pragma once

#include <valve/damper/spec.hpp>
#include <valve/study/search_question.hpp>

#include <string>
#include <vector>

namespace program {

/// The valves that `--valve` names, each once. Throws UsageError for a name that is none.
std::vector<valve::damper::Place> places_of(const std::vector<std::string>& names);

/// Throws UsageError, which names the option, for numbers of a search that mean nothing.
void check_numbers(const valve::study::SearchOptions& options);

} // namespace program
