#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/damper/steady.hpp>
#include <valve/setup/read.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::report {

/// Some strip in the file states a yield strength or a fatigue limit.
bool states_limits(const setup::Reading& reading);

/// Lowest rod speeds, as magnitudes, at which some shim passes a limit of its strip [m/s]; none within the
/// speeds of the curve, between which the pressure is taken to rise in straight lines.
struct StressOnset {
    std::optional<double> set;     ///< a shim keeps a set
    std::optional<double> fatigue; ///< a shim is bent beyond endless life
};
StressOnset stress_onset(const damper::Model& model, const damper::Curve& curve, damper::LiftCache& lifts);

/// One sentence for each valve whose shims pass a limit of their strip within the speeds of a curve: "At
/// 2.6 m/s shim 3 of piston.compression keeps a set …". Nothing is said of strips that state no limit.
std::vector<std::string> stress_warnings(const damper::Model& model, const damper::Curve& curve,
                                         damper::LiftCache& lifts);

/// Sentences for each valve whose stack buckles into waves within the speeds of a curve: beyond, it lifts
/// more than its lift curve says; and for each whose waves over its ports pass what harmonics follow.
std::vector<std::string> wave_warnings(const damper::Model& model, const damper::Curve& curve,
                                       damper::LiftCache& lifts);

/// Both.
std::vector<std::string> shim_warnings(const damper::Model& model, const damper::Curve& curve,
                                       damper::LiftCache& lifts);

/// Stress warnings of a file whose strips state a limit: of a damper at mid travel up to 4 m/s, of a valve
/// alone by the pressure on its face shim. Nothing of other files.
std::vector<std::string> stress_warnings(const setup::Reading& reading, damper::LiftCache& lifts);

} // namespace valve::report
