#pragma once

#include <valve/damper/steady.hpp>
#include <valve/report/json.hpp>
#include <valve/setup/read.hpp>

#include <string>

namespace valve::report {

/// A set-up's steady curve and what it was asked.
struct CurveResult {
    std::string file;
    setup::Reading reading;
    damper::CurveOptions options;
    damper::Curve curve;

    /// Some point has no solution, or a search for voids broke off.
    bool failed() const;
};

Json json(const damper::SteadyPoint& point);
Json json(const damper::VoidOnset& onset);
Json json(const CurveResult& result);

/// What a tuner reads: void onset first, then a table for each direction.
std::string text(const CurveResult& result);

/// "voids on rebound from 1.30 m/s; no void on compression up to 4 m/s."
std::string sentence(const damper::VoidOnset& onset, double top_speed);

} // namespace valve::report
