#pragma once

#include <valve/study/balance_map.hpp>
#include <valve/study/curve.hpp>
#include <valve/study/headline.hpp>
#include <valve/study/lift.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// What of a result has no solution and why, a sentence without full stop each; empty where it failed in
/// nothing. Of several points the first alone, and how many there are.
std::vector<std::string> left_out(const study::CurveResult& result);
std::vector<std::string> left_out(const study::BalanceMap& map);
std::vector<std::string> left_out(const study::LiftResult& result);
std::vector<std::string> left_out(const study::Headline& headline);

} // namespace valve::report
