#pragma once

#include <valve/study/rider.hpp>

#include <string>
#include <string_view>
#include <vector>

namespace valve::report {

/// What a rider may feel, in plain words, by rules_for_the_rider(). `support` null: the file says nothing of
/// springs.
std::vector<std::string> rider_sentences(const study::CurveResult& curve,
                                         const study::SupportResult* support);

/// What has become different from the unit as found. Onsets were sought up to `top_speed` [m/s].
std::vector<std::string> rider_sentences(const study::Variant& variant, double top_speed);

/// One remark; `unit` is "fork" or "shock".
std::string sentence(const study::RiderRemark& remark, std::string_view unit, double top_speed);

/// The rules behind both, for those who doubt a sentence.
std::string rules_for_the_rider();

} // namespace valve::report
