#pragma once

#include <valve/study/ride_remark.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// What a rider may feel of rides over `events`, in plain words, each with its number, by
/// ride_rules_for_the_rider(). A ride belongs to the event of its index.
std::vector<std::string> rider_sentences(const std::vector<study::RideFigures>& rides,
                                         const std::vector<motion::Event>& events);

/// One remark, without the event.
std::string sentence(const study::RideRemark& remark);

/// The rules behind them, for those who doubt a sentence.
std::string ride_rules_for_the_rider();

} // namespace valve::report
