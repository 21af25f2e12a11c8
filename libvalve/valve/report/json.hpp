#pragma once

#include <valve/setup/read.hpp>

#include <nlohmann/json.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::report {

/// Keys stay in the order they were written in, so that the same result gives the same bytes.
using Json = nlohmann::ordered_json;

/// The value, or null.
template <class T>
Json or_null(const std::optional<T>& value) {
    return value ? Json(*value) : Json(nullptr);
}

/// Replaces every number of `object` that is not finite by null and says so under "error".
void refuse_non_finite(Json& object);

/// What was found of each valve of `file`: the keys of its one valve, or several under "valves".
Json by_valve(const std::string& file, const setup::Reading& reading, const std::vector<Json>& valves);

/// The text of a result: indented, with a newline at its end. Bytes that are not UTF-8 are replaced.
std::string written(const Json& object);

/// A table with the keys of the first point as its head and one row a point; null is an empty cell.
/// Throws std::invalid_argument where a later point has other keys.
std::string csv(const Json& points);

} // namespace valve::report
