#pragma once

#include <valve/core/findings.hpp>

namespace valve::damper {

// What the numbers of a damper and its support can be. The ranges of a set-up file's keys are narrower: they
// ask what is likely, these what can be computed.
inline constexpr Limits diameters{0.001, 10000.0, "mm"};
inline constexpr Limits lengths{0.001, 10000.0, "mm"};
inline constexpr Limits gaps{0.0, 100.0, "mm"};
inline constexpr Limits volumes{0.001, 1e6, "ml"};
inline constexpr Limits forces{0.0, 1e6, "N"};
inline constexpr Limits spring_rates{0.0001, 1e6, "N/mm"};
inline constexpr Limits absolute_pressures{0.001, 1000.0, "bar", true, "absolute"};
inline constexpr Limits gas_exponents{1.0, 1.67, ""}; // isothermal … adiabatic, one-atom gas

/// `limits` from zero on.
constexpr Limits or_none(Limits limits) {
    limits.low = 0.0;
    return limits;
}

} // namespace valve::damper
