#pragma once

// Catch2 2 (Debian 12) and 3 (Debian 13, Ubuntu 24.04) behind one include. Every test includes this and no
// header of Catch2.

#if __has_include(<catch2/catch_all.hpp>)
#include <catch2/catch_all.hpp>
#else
#include <catch2/catch.hpp>
#endif

#include <string>

using Catch::Matchers::WithinAbs;
using Catch::Matchers::WithinRel;

/// Matches a string that contains `text`; the two versions name this matcher differently.
inline auto contains_text(const std::string& text) {
#if CATCH_VERSION_MAJOR >= 3
    return Catch::Matchers::ContainsSubstring(text);
#else
    return Catch::Matchers::Contains(text);
#endif
}
