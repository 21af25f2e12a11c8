#pragma once

#include <valve/report/json.hpp>
#include <valve/study/curve.hpp>

#include <string>

namespace valve::report {

Json json(const damper::SteadyPoint& point);
Json json(const damper::VoidOnset& onset);
Json json(const study::CurveResult& result);

/// What a tuner reads: void onset first, then a table for each direction.
std::string text(const study::CurveResult& result);

/// "voids on rebound from 1.30 m/s; no void on compression up to 4 m/s."
std::string sentence(const damper::VoidOnset& onset, double top_speed);

} // namespace valve::report
