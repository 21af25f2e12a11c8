#include <valve/motion/vehicle.hpp>

namespace valve::motion {

Findings check(const Vehicle& vehicle) {
    Findings findings;
    require(findings, "unsprung", vehicle.unsprung, above_zero_to(500.0, "kg"));
    require(findings, "tyre.rate", vehicle.tyre.rate, above_zero_to(5000.0, "N/mm"));
    require(findings, "tyre.damping", vehicle.tyre.damping, {0.0, 1e5, "N s/m"});
    require(findings, "tyre.radius", vehicle.tyre.radius, {0.0, 2.0, "m"});
    return findings;
}

} // namespace valve::motion
