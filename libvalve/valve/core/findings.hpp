#pragma once

#include <valve/core/error.hpp>

#include <algorithm>
#include <string>
#include <string_view>
#include <utility>

namespace valve {

inline void add_error(Findings& findings, std::string key, std::string message, std::string other_key = {}) {
    findings.push_back({Finding::Severity::error, std::move(key), std::move(other_key), std::move(message)});
}

inline void add_warning(Findings& findings, std::string key, std::string message,
                        std::string other_key = {}) {
    findings.push_back(
        {Finding::Severity::warning, std::move(key), std::move(other_key), std::move(message)});
}

/// What a value can be: `low` to `high` in `unit`, the one it is told in ("" for a plain number).
struct Limits {
    double low = 0.0;
    double high = 0.0;
    std::string_view unit = "";
    bool low_included = true;
    std::string_view of = ""; ///< what the unit leaves open: "absolute"
};

/// From more than zero.
constexpr Limits above_zero_to(double high, std::string_view unit) {
    return {0.0, high, unit, false};
}

/// Whether `value` [SI] is finite and within `limits`. If not, adds an error for `key` that tells both.
bool require(Findings& findings, const std::string& key, double value, const Limits& limits);

/// The same of a whole number from `low` to `high`.
bool require_count(Findings& findings, const std::string& key, long value, long low, long high);

/// Adds the findings of a part, whose keys are known below `prefix` ("valves.base.refill").
inline void add_below(Findings& findings, const std::string& prefix, const Findings& part) {
    const auto whole = [&](const std::string& key) { return key.empty() ? prefix : prefix + "." + key; };
    for (const Finding& finding : part)
        findings.push_back({finding.severity, whole(finding.key),
                            finding.other_key.empty() ? std::string{} : whole(finding.other_key),
                            finding.message});
}

/// The first error among the findings; null if there is none.
inline const Finding* first_error(const Findings& findings) {
    const auto found = std::find_if(findings.begin(), findings.end(), [](const Finding& finding) {
        return finding.severity == Finding::Severity::error;
    });
    return found == findings.end() ? nullptr : &*found;
}

/// Throws an `Exception` with the first error among the findings of `what`; does nothing where there is none.
template <class Exception>
void refuse_errors(const Findings& findings, const std::string& what) {
    if (const Finding* fault = first_error(findings))
        throw Exception(what + fault->key + ": " + fault->message);
}

} // namespace valve
