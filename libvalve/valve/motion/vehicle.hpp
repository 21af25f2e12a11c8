#pragma once

#include <valve/core/findings.hpp>

namespace valve::motion {

/// Vertical spring and damper of a tyre that only pushes, on a rigid wheel.
struct Tyre {
    double rate = 160e3;    ///< [N/m]
    double damping = 400.0; ///< [N s/m]
    double radius = 0.34;   ///< of the wheel, unloaded [m]

    bool operator==(const Tyre&) const = default;
};

/// One wheel; what it carries, and what joins it to the unit, is the support's load.
struct Vehicle {
    double unsprung = 0.0; ///< mass of wheel, brake and what moves with it [kg]
    Tyre tyre;

    bool operator==(const Vehicle&) const = default;
};

/// What cannot be solved; keys as in a set-up file, below `vehicle`.
Findings check(const Vehicle& vehicle);

} // namespace valve::motion
