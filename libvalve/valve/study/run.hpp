#pragma once

#include <valve/damper/measured.hpp>

#include <string>

namespace valve::study {

/// A measured run and the file it was read from.
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

/// Lays `run` beside `model` at `travel` [m]. Throws what damper::deviations() throws.
RunBeside beside(const RunFile& run, const damper::Model& model, double travel, damper::RodInto rod_into);

} // namespace valve::study
