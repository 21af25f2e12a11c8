#pragma once

#include <valve/study/balance_map.hpp>
#include <valve/study/curve.hpp>
#include <valve/study/headline.hpp>
#include <valve/study/lift.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// What has no solution, and why.
struct LeftOut {
    std::string what;     ///< "Balance over travel"; "piston.rebound at" before the setting in `of`
    std::string of = {};  ///< which of `what`; empty: all of it
    std::string why = {}; ///< a sentence without full stop; of several points that of the first
    int points = 1;       ///< without a solution

    bool operator==(const LeftOut&) const = default;
};

/// What of a result, called `what`, has no solution; empty where it failed in nothing.
std::vector<LeftOut> left_out(const std::string& what, const study::CurveResult& result);
std::vector<LeftOut> left_out(const std::string& what, const study::BalanceMap& map);
std::vector<LeftOut> left_out(const std::string& what, const study::LiftResult& result);
std::vector<LeftOut> left_out(const std::string& what, const study::Headline& headline);

/// One sentence for each cause, in the order of the first of each: that one in full, then what else is left
/// out by it. Reasons that differ in numbers alone are one cause.
std::vector<std::string> sentences(const std::vector<LeftOut>& list);

} // namespace valve::report
