#pragma once

#include <span>
#include <string_view>

namespace valve::report {

/// What a number of a result measures, and so the unit that a workshop reads it in.
enum class Magnitude {
    speed,
    force,
    pressure, ///< a difference
    gauge,    ///< an absolute pressure, read above the atmosphere
    length,
    rate,
    energy,
    volume,
    flow,
    area,
    stress,
    temperature,
    viscosity,
    frequency,
    acceleration,
    warming, ///< a difference of temperature
    time,
    distance, ///< along the ground
    share,
    count,   ///< a plain number
    noticed, ///< steps that a rider notices
    words,   ///< no number
};

/// shown = SI · per_SI + offset.
struct TradeUnit {
    std::string_view name;
    double per_SI = 1.0;
    double offset = 0.0;
    int decimals = 0; ///< no more than these mean anything
};

/// A measure in both systems of units; which one holds is a choice that several measures share.
struct MagnitudeUnits {
    Magnitude measure = Magnitude::count;
    std::string_view name;   ///< "pressure"
    std::string_view choice; ///< "pressure" of a stress; empty where there is none
    TradeUnit metric;
    TradeUnit inch;
    bool trimmed = false; ///< sizes and settings lose trailing zeros: "0.15", "24"
};

std::span<const MagnitudeUnits> magnitudes();
const MagnitudeUnits& units_of(Magnitude measure);

} // namespace valve::report
