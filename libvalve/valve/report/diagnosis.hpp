#pragma once

#include <valve/report/json.hpp>
#include <valve/study/diagnosis.hpp>

#include <string>

namespace valve::report {

/// A rule as a sentence: "no void on rebound below 2 m/s, which rough ground brings all day".
std::string rule_words(const study::Judgement& judgement);

Json json(const study::Diagnosis& diagnosis);

/// One line a fault, then one a rule that holds.
Json points(const study::Diagnosis& diagnosis);

std::string text(const study::Diagnosis& diagnosis);

} // namespace valve::report
