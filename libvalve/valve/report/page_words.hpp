#pragma once

#include <valve/report/comparison.hpp>
#include <valve/report/curve.hpp>

#include <string>
#include <vector>

/// The sentences of a page that no single command says.
namespace valve::report {

/// What a tuner should hear first of one unit: voids, refill, balance, a measured run beside it, and at
/// which speeds there is no solution.
std::vector<std::string> answer(const study::CurveResult& result);

/// Where a curve has no solution, and why, a sentence for each way; empty where all of it is solved.
std::vector<std::string> no_solution(const damper::Curve& curve);

/// What a tuner should hear of several: what each change did, and what it left.
std::vector<std::string> answer(const study::Comparison& comparison);

/// What to check before the unit is opened and before it is ridden.
std::vector<std::string> cautions();

/// How the numbers were made, with sources.
std::vector<std::string> method(const stack::FollowOptions& options);

} // namespace valve::report
