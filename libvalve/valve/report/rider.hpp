#pragma once

#include <valve/report/comparison.hpp>
#include <valve/report/curve.hpp>
#include <valve/report/support.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace valve::report {

/// What a rider may feel, in plain words, from the computed numbers by rules_for_the_rider(). `support`
/// null: the file says nothing of springs.
std::vector<std::string> for_the_rider(const study::CurveResult& curve, const SupportResult* support);

/// What has become different from the unit as found, most noticeable first. Onsets were sought up to
/// `top_speed` [m/s].
std::vector<std::string> for_the_rider(const Variant& variant, double top_speed);

/// The rules behind both, for those who doubt a sentence.
std::string_view rules_for_the_rider();

} // namespace valve::report
