#pragma once

#include <valve/study/ride_remark.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// What a rider may feel of rides over `events`, in plain words, each with its number, by
/// ride_rules_for_the_rider(): where it bottoms out or tops out, then the rest. A ride belongs to the event
/// of its index.
std::vector<std::string> rider_sentences(const std::vector<study::RideFigures>& rides,
                                         const std::vector<motion::Event>& events);

/// "Over Ledge: it bottoms out: metal is met at 1.15 m/s." of every ride that does, or tops out.
std::vector<std::string> hard_end_sentences(const std::vector<study::RideFigures>& rides,
                                            const std::vector<motion::Event>& events);

/// The same of the worst that is felt over each event: bottoming before topping out, packing, a dive,
/// little travel left, a wheel that skips and small bumps that are passed on. Nothing of an event that is
/// ridden well.
std::vector<std::string> worst_sentences(const std::vector<study::RideFigures>& rides,
                                         const std::vector<motion::Event>& events);

/// One remark, without the event.
std::string sentence(const study::RideRemark& remark);

/// The rules behind them, for those who doubt a sentence.
std::string ride_rules_for_the_rider();

} // namespace valve::report
