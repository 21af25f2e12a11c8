#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/damper/onset.hpp>
#include <valve/damper/port_control.hpp>
#include <valve/damper/steady.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/run.hpp>
#include <valve/study/unevenness.hpp>
#include <valve/study/warning.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::study {

/// A set-up's steady curve and what it was asked.
struct CurveResult {
    std::string file;
    setup::Reading reading;
    damper::CurveOptions options;
    damper::Curve curve;
    damper::Onset margin_below_zero = {};            ///< of the balance margin, at the curve's travel
    std::vector<damper::ThroughValves> through = {}; ///< by point; empty values where it is not solved
    std::vector<damper::PortControl> ports = {};
    std::vector<Warning> warnings = {};     ///< of ports, shims and the cups at the ends, at the speeds asked
    std::vector<Unevenness> not_round = {}; ///< up to the top speed
    std::optional<RunBeside> measured = std::nullopt;

    /// Some point has no solution, or a search for voids broke off.
    bool failed() const;
};

/// Solves the curve of a file, and lays `run` beside it. Throws InputError for a file with one valve alone
/// and what steady_curve() throws.
CurveResult curve_result(std::string file, setup::Reading reading, const damper::CurveOptions& options,
                         damper::LiftCache& lifts, const std::optional<RunFile>& run = std::nullopt);

} // namespace valve::study
