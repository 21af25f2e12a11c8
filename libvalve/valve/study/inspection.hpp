#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/unevenness.hpp>
#include <valve/study/warning.hpp>

#include <string>
#include <vector>

namespace valve::study {

/// What was understood of a file.
struct Inspection {
    std::string file;
    setup::Reading reading;
    std::vector<Warning> stress_warnings = {};   ///< shims that pass a limit of their strip
    std::vector<Unevenness> not_round = {};      ///< stacks that do not stay round
    std::vector<setup::DefaultUsed> absent = {}; ///< parts that the file leaves out, with the value "none"
    std::vector<std::string> unused = {};        ///< keys that count in time alone
};

/// Follows the stacks of a file, unless they are taken for round and no strip states a limit.
Inspection inspection(std::string file, setup::Reading reading, damper::LiftCache& lifts);

} // namespace valve::study
