#pragma once

#include <valve/report/json.hpp>
#include <valve/study/balance_map.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// "map" holds the points, each with its travel, "lead" the changes looked for.
Json json(const study::BalanceMap& map);

/// One row a travel and speed.
Json points(const study::BalanceMap& map);

/// The balance in sentences: what leads at `lead_at`, and which single change would let the base valve lead.
std::vector<std::string> sentences(const study::BalanceMap& map);

/// The sentences, then a table a figure with a column a travel.
std::string text(const study::BalanceMap& map);

} // namespace valve::report
