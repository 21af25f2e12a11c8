#pragma once

#include <valve/report/json.hpp>
#include <valve/study/support.hpp>

#include <optional>
#include <string>

namespace valve::report {

Json json(const damper::SupportPoint& point, const damper::SupportLaw& law);
Json json(const study::SupportResult& result);

/// "1.88 Hz"; "none".
std::string hertz(const std::optional<double>& frequency);

/// "two legs, each: spring 4.8 N/mm, 6 mm of preload; …": what a file says, for a check by eye.
std::string summary(const damper::Support& support);

/// Title, file, and what a tuner reads first.
std::string headline(const study::SupportResult& result);

/// Forces, rate, energy and pressures over the travel.
std::string travel_table(const study::SupportResult& result);

/// Headline, choice and table.
std::string text(const study::SupportResult& result);

} // namespace valve::report
