#pragma once

#include <valve/report/family.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// Rod speeds at which wear is looked at unless others are asked [m/s].
std::vector<double> wear_speeds();

/// Multiples of the file's ring gap and reservoir friction that stand for wear unless others are given. How
/// far parts wear is an assumption; the result says so.
std::vector<double> wear_multiples();

/// Curves of a damper as in its file, with its ring gap at each of `multiples` of the file's, with the
/// friction of its reservoir's seal at each, and with both at the last. Without speeds in `options`,
/// wear_speeds(). Throws InputError for a file with one valve alone, or with neither a ring leak nor a seal
/// that rubs, and as study::curve_result(); std::invalid_argument for no multiples, or one that is not
/// positive.
Family wear_family(const std::string& file, const setup::Reading& reading,
                   const damper::CurveOptions& options, const std::vector<double>& multiples,
                   damper::LiftCache& lifts);

/// As json(family), each member with "ring_gap_m" and "reservoir_friction_N", null where it has none.
Json wear_json(const Family& family);

} // namespace valve::report
