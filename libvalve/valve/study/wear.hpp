#pragma once

#include <valve/study/curve.hpp>

#include <string>
#include <vector>

namespace valve::study {

/// How far a damper's ring and its reservoir's seal are worn, as multiples of the file's gap and friction.
struct Worn {
    double ring = 1.0;
    double seal = 1.0;
};

/// A damper as in its file and worn.
struct WearStudy {
    std::vector<Worn> cases;
    std::vector<CurveResult> members; ///< by case

    /// Some point has no solution.
    bool failed() const;
};

/// Whether a damper has a ring that leaks, a seal that rubs.
bool has_ring(const damper::SetUp& unit);
bool has_seal(const damper::SetUp& unit);

/// Rod speeds at which wear is looked at unless others are asked [m/s].
std::vector<double> wear_speeds();

/// Multiples of the file's ring gap and reservoir friction that stand for wear unless others are given. How
/// far parts wear is an assumption.
std::vector<double> wear_multiples();

/// Curves of a damper as in its file, with its ring gap at each of `multiples` of the file's, with the
/// friction of its reservoir's seal at each, and with both at the last. Without speeds in `options`,
/// wear_speeds(). Throws InputError for a file with one valve alone, or with neither a ring leak nor a seal
/// that rubs, and as curve_result(); std::invalid_argument for no multiples, or one that is not positive.
WearStudy wear_study(const std::string& file, const setup::Reading& reading,
                     const damper::CurveOptions& options, const std::vector<double>& multiples,
                     damper::LiftCache& lifts);

} // namespace valve::study
