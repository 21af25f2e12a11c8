#pragma once

#include <valve/report/json.hpp>
#include <valve/study/inspection.hpp>

#include <string>

namespace valve::report {

Json json(const study::Inspection& inspection);

/// Every valve with a drawing of its stack; then every default used, and the warnings.
std::string text(const study::Inspection& inspection);

} // namespace valve::report
