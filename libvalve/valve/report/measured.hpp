#pragma once

#include <valve/report/json.hpp>
#include <valve/study/run.hpp>

#include <string>
#include <vector>

namespace valve::report {

Json json(const study::RunBeside& beside);

/// One row a speed.
Json points(const study::RunBeside& beside);

/// "Measured less predicted: mean +12 N, root mean square 30 N (5 % of the measured), worst +70 N at 2 m/s."
std::string sentence(const study::RunBeside& beside);

/// Table and summary of one set-up.
std::string text(const study::RunBeside& beside);

/// The same of several set-ups, in columns headed A, B, …
std::string text(const std::vector<study::RunBeside>& besides);

} // namespace valve::report
