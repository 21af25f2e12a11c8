#pragma once

#include <vector>

namespace valve::report {

/// The points of curves over one `x` that straight lines need to stay within `error` of all of them, both
/// ends among them. `x` rising, two points or more; every curve as long as it.
std::vector<bool> needed_points(const std::vector<double>& x, const std::vector<std::vector<double>>& curves,
                                double error);

} // namespace valve::report
