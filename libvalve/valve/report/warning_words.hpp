#pragma once

#include <valve/report/json.hpp>
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

/// The same as values: `kind`, `place`, and what belongs to it of `speed_m_s, pressure_Pa, radius_m, value,
/// shim, count, detail`, else null.
Json values(const std::vector<study::Warning>& warnings);

} // namespace valve::report
