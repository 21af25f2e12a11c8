#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/report/json.hpp>
#include <valve/setup/read.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// What was understood of a file.
struct Inspection {
    std::string file;
    setup::Reading reading;
    std::vector<std::string> stress_warnings = {}; ///< shims that pass a limit of their strip
};

/// Follows the stacks of a file whose strips state a limit.
Inspection inspection(std::string file, setup::Reading reading, damper::LiftCache& lifts);

Json json(const Inspection& inspection);

/// Every valve with a drawing of its stack; then every default used, and the warnings.
std::string text(const Inspection& inspection);

} // namespace valve::report
