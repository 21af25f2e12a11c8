#pragma once

#include <valve/report/json.hpp>
#include <valve/study/sweep.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// Curves along a sweep; `assumption` is what it takes for granted, where that does not follow from its key.
Json json(const study::CurveFamily& family, const std::string& assumption = {});

/// Settings without a result, as `setting` and `error`.
Json json(const std::vector<study::LeftOut>& left_out);

/// The points of all members, each with its setting.
Json points(const study::CurveFamily& family);

/// Damping force over speed with a column a setting, one table a direction; then where chambers run empty,
/// and what ports and shims have to say.
std::string text(const study::CurveFamily& family, const std::string& assumption = {});

} // namespace valve::report
