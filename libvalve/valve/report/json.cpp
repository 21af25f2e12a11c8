#include <valve/report/json.hpp>

#include <cmath>
#include <stdexcept>

namespace valve::report {

namespace {

/// Quoted where a reader of comma-separated text needs it (RFC 4180).
std::string cell(const Json& value) {
    if (value.is_null()) return "";
    std::string text = value.is_string() ? value.get<std::string>() : value.dump();
    if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
    std::string quoted = "\"";
    for (const char c : text) {
        if (c == '"') quoted += '"';
        quoted += c;
    }
    return quoted + "\"";
}

} // namespace

void refuse_non_finite(Json& object) {
    std::string refused;
    for (auto& [key, value] : object.items()) {
        if (!value.is_number_float() || std::isfinite(value.get<double>())) continue;
        value = nullptr;
        refused += (refused.empty() ? "" : ", ") + key;
    }
    if (!refused.empty()) object["error"] = "no finite value for " + refused;
}

Json by_valve(const std::string& file, const setup::Reading& reading, const std::vector<Json>& valves) {
    Json object;
    object["title"] = reading.title;
    object["file"] = file;
    if (valves.size() == 1)
        object.update(valves.front());
    else
        object["valves"] = valves;
    object["warnings"] = reading.warnings;
    return object;
}

std::string written(const Json& object) {
    return object.dump(2, ' ', false, Json::error_handler_t::replace) + "\n";
}

std::string csv(const Json& points) {
    std::string result;
    if (points.empty()) return result;
    const Json& first = points.front();
    for (const auto& [key, value] : first.items())
        result += (result.empty() ? "" : ",") + key;
    result += "\n";
    for (const Json& point : points) {
        if (point.size() != first.size()) throw std::invalid_argument("points with different keys");
        std::string row;
        for (const auto& [key, value] : first.items()) {
            if (!point.contains(key)) throw std::invalid_argument("points with different keys");
            row += cell(point.at(key)) + ",";
        }
        row.back() = '\n';
        result += row;
    }
    return result;
}

} // namespace valve::report
