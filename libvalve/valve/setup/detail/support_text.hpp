#pragma once

#include <valve/damper/leg_air.hpp>
#include <valve/setup/keys.hpp>

#include <optional>

namespace valve::setup {

/// An oil level as measured.
struct LevelText {
    double depth = 0.0; // [m]
    damper::LevelMethod method;
};

struct LegText {
    damper::Leg known;                // what is read straight into its place
    std::optional<double> oil_volume; // [m³]
    std::optional<LevelText> level;
};

/// A support as written; what follows from other keys is filled in by read_support().
struct SupportText {
    damper::Support known;
    std::optional<LegText> leg;
    std::optional<double> breakaway; // [N]
};

/// The keys of a support, bound to `text`.
Keys support_keys(SupportText& text);

} // namespace valve::setup
