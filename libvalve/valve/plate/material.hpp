#pragma once

#include <optional>

namespace valve::plate {

/// Strip that shims are cut from. The defaults are those of spring steel strip.
struct Material {
    double youngs_modulus = 206e9;        ///< E [Pa]
    double poisson_ratio = 0.3;           ///< nu [-]
    double density = 7850.0;              ///< [kg/m³]
    std::optional<double> yield_strength; ///< [Pa]
    std::optional<double> fatigue_limit;  ///< largest stress amplitude for endless life [Pa]

    bool operator==(const Material&) const = default;
};

} // namespace valve::plate
