#include <valve/core/findings.hpp>
#include <valve/plate/check.hpp>

#include <fmt/format.h>

namespace valve::plate {

Findings check(const Material& material) {
    constexpr Limits strength{1.0, 10000.0, "MPa"};
    Findings findings;
    require(findings, "E", material.youngs_modulus, {0.001, 2000.0, "GPa"}); // rubber … diamond
    require(findings, "nu", material.poisson_ratio, {0.0, 0.49, ""});
    require(findings, "density", material.density, {100.0, 25000.0, "kg/m3"});
    if (material.yield_strength) require(findings, "yield", *material.yield_strength, strength);
    if (material.fatigue_limit) require(findings, "fatigue", *material.fatigue_limit, strength);
    if (findings.empty() && material.yield_strength && material.fatigue_limit &&
        *material.fatigue_limit > *material.yield_strength)
        add_warning(
            findings, "fatigue",
            fmt::format("{:.4g} MPa is more than the yield strength, {:.4g} MPa; are the two exchanged?",
                        *material.fatigue_limit / 1e6, *material.yield_strength / 1e6),
            "yield");
    return findings;
}

} // namespace valve::plate
