#pragma once

#include <valve/study/warning.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// The sentence of a warning, without its full stop.
std::string sentence(const study::Warning& warning);

std::vector<std::string> sentences(const std::vector<study::Warning>& warnings);

/// Those of `warnings` that are about `subject`.
std::vector<std::string> sentences(const std::vector<study::Warning>& warnings,
                                   study::WarningSubject subject);

} // namespace valve::report
