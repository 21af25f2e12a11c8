#pragma once

#include <valve/report/comparison.hpp>
#include <valve/report/curve.hpp>

#include <string>
#include <vector>

/// The sentences of a page that no single command says.
namespace valve::report {

/// What a tuner should hear first of one unit: voids, refill, balance, and a measured run beside it.
std::vector<std::string> answer(const study::CurveResult& result);

/// The same of several: what each change did, and what it left.
std::vector<std::string> answer(const study::Comparison& comparison);

/// What to check before the unit is opened and before it is ridden.
std::vector<std::string> cautions();

/// How the numbers were made, with sources.
std::vector<std::string> method(const stack::FollowOptions& options);

} // namespace valve::report
