#pragma once

#include <valve/report/support.hpp>

#include <vector>

namespace valve::report {

/// Whether two results are a fork and a shock: the two ends of one vehicle.
bool are_two_ends(const std::vector<SupportResult>& results);

/// Makes several results ready to be put side by side: of one end, with the hit of the first; two ends keep
/// their own. Throws InputError for other mixtures of forks and shocks, and for one leg beside a pair.
void align(std::vector<SupportResult>& results);

/// {setups, ride}: each as by itself; of two ends the ride frequencies and their ratio, else null.
Json json(const std::vector<SupportResult>& results);

/// The points of all, each row with its file.
Json points(const std::vector<SupportResult>& results);

/// Two ends: both in full, and how their ride frequencies go together. One end: what the others change
/// against the first, in a sentence each and side by side.
std::string text(const std::vector<SupportResult>& results);

} // namespace valve::report
