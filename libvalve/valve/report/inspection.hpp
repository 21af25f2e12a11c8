#pragma once

#include <valve/report/json.hpp>
#include <valve/setup/read.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// What was understood of a file.
struct Inspection {
    std::string file;
    setup::Reading reading;
};

Json json(const Inspection& inspection);

/// Every valve with a drawing of its stack; then every default used, and the warnings.
std::string text(const Inspection& inspection);

} // namespace valve::report
