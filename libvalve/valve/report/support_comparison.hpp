#pragma once

#include <valve/report/support.hpp>

#include <vector>

namespace valve::report {

/// {setups, ride}: each as by itself; of two ends the ride frequencies and their ratio, else null.
Json json(const std::vector<study::SupportResult>& results);

/// The points of all, each row with its file.
Json points(const std::vector<study::SupportResult>& results);

/// Two ends: both in full, and how their ride frequencies go together. One end: what the others change
/// against the first, in a sentence each and side by side.
std::string text(const std::vector<study::SupportResult>& results);

} // namespace valve::report
