#pragma once

#include <valve/core/error.hpp>

#include <algorithm>
#include <cmath>
#include <string>
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

inline void require_positive(Findings& findings, const std::string& key, double value) {
    if (!(value > 0.0) || !std::isfinite(value)) add_error(findings, key, "must be more than zero");
}

inline void require_not_negative(Findings& findings, const std::string& key, double value) {
    if (!(value >= 0.0) || !std::isfinite(value)) add_error(findings, key, "must not be negative");
}

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

} // namespace valve
