#pragma once

#include <valve/damper/measured.hpp>
#include <valve/report/json.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// A run and the file it was read from.
struct RunFile {
    std::string file;
    damper::MeasuredRun run;
};

/// A run beside the prediction of one set-up.
struct RunBeside {
    std::string file; ///< of the run
    damper::MeasuredForce kind = damper::MeasuredForce::rod;
    damper::Deviations deviations;

    /// Some speed of the run has no prediction.
    bool failed() const;
};

Json json(const RunBeside& beside);

/// One row a speed.
Json points(const RunBeside& beside);

/// "Measured less predicted: mean +12 N, root mean square 30 N (5 % of the measured), worst +70 N at 2 m/s."
std::string sentence(const RunBeside& beside);

/// Table and summary of one set-up.
std::string text(const RunBeside& beside);

/// The same of several set-ups, in columns headed A, B, …
std::string text(const std::vector<RunBeside>& besides);

} // namespace valve::report
