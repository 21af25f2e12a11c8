#pragma once

#include <damper/members.hpp>
#include <support/catch.hpp>
#include <valve/core/findings.hpp>

#include <array>
#include <cmath>
#include <concepts>
#include <limits>
#include <string>

// Every number of a struct that a caller fills, set to what is not finite, to 0 and to -1.

namespace valve::testing {

constexpr double infinity = std::numeric_limits<double>::infinity();
constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();
constexpr std::array<double, 5> poor_values{not_a_number, infinity, -infinity, 0.0, -1.0};

/// Sets the number of this index, in the order of the walk, and keeps its path.
struct SetOne {
    std::size_t wanted = 0;
    double to = 0.0;
    std::size_t seen = 0;
    std::string path = {};
    bool is_whole = false;

    void operator()(const std::string& where, double& number) {
        if (seen++ != wanted) return;
        number = to;
        path = where;
    }
    template <std::integral Whole>
    void operator()(const std::string& where, Whole& number) {
        if (seen++ != wanted) return;
        is_whole = true;
        number = std::isfinite(to) ? static_cast<Whole>(to) : std::numeric_limits<Whole>::max();
        path = where;
    }
    void operator()(const std::string&) {}
};

/// Every poor value of every number of `sound`, by `look(changed, path, value, is_whole)`; how many.
template <class Struct, class Look>
int each_poor(const Struct& sound, const Look& look) {
    int count = 0;
    for (std::size_t index = 0;; ++index) {
        for (const double value : poor_values) {
            Struct changed = sound;
            SetOne set{index, value};
            walk("", changed, set);
            if (index >= set.seen) return count;
            look(changed, set.path, value, set.is_whole);
            ++count;
        }
    }
}

/// The error, which has to name a key, tell the value and what is expected.
inline void check_refused(const Findings& findings, double value, bool is_whole, const std::string& path) {
    const Finding* fault = first_error(findings);
    REQUIRE(fault != nullptr);
    INFO(fault->key << ": " << fault->message);
    CHECK_FALSE(fault->key.empty());
    CHECK(fault->message.size() > 10);
    // A map drops it, and lists are told as a whole.
    const bool is_lost = path.find("viscosity") != std::string::npos ||
                         path.find("linkage") != std::string::npos || path == "distance" || path == "heights";
    if (std::isnan(value) && !is_whole && !is_lost) CHECK_THAT(fault->message, contains_text("nan"));
}

inline std::string key_of(const Findings& findings) {
    const Finding* fault = first_error(findings);
    return fault == nullptr ? "no error" : fault->key + ": " + fault->message;
}

} // namespace valve::testing
