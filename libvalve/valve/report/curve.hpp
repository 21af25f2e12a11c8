#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/damper/port_control.hpp>
#include <valve/damper/steady.hpp>
#include <valve/report/json.hpp>
#include <valve/report/measured.hpp>
#include <valve/setup/read.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::report {

/// A set-up's steady curve and what it was asked.
struct CurveResult {
    std::string file;
    setup::Reading reading;
    damper::CurveOptions options;
    damper::Curve curve;
    std::vector<damper::ThroughValves> through = {}; ///< by point; empty values where it is not solved
    std::vector<damper::PortControl> ports = {};
    std::vector<std::string> shim_warnings = {}; ///< shims that keep a set or break, stacks that buckle
    std::vector<std::string> end_warnings = {};  ///< where cups at the ends of the stroke push harder
    std::optional<RunBeside> measured = std::nullopt;

    /// Some point has no solution, or a search for voids broke off.
    bool failed() const;
};

/// Solves the curve of a file, and lays `run` beside it. Throws InputError for a file with one valve alone
/// and what steady_curve() throws.
CurveResult curve_result(std::string file, setup::Reading reading, const damper::CurveOptions& options,
                         damper::LiftCache& lifts, const std::optional<RunFile>& run = std::nullopt);

/// What ports, shims and the cups at the ends of the stroke have to say at the speeds asked.
std::vector<std::string> flow_warnings(const CurveResult& result);

Json json(const damper::SteadyPoint& point);
Json json(const damper::VoidOnset& onset);
Json json(const CurveResult& result);

/// What a tuner reads: void onset first, then a table for each direction.
std::string text(const CurveResult& result);

/// "voids on rebound from 1.30 m/s; no void on compression up to 4 m/s."
std::string sentence(const damper::VoidOnset& onset, double top_speed);

} // namespace valve::report
