#pragma once

#include <valve/core/findings.hpp>
#include <valve/damper/spec.hpp>

#include <optional>
#include <string_view>
#include <vector>

namespace valve::motion {

/// Vertical spring and damper of a tyre that only pushes, on a rigid wheel.
struct Tyre {
    double rate = 160e3;    ///< [N/m]
    double damping = 400.0; ///< [N s/m]
    double radius = 0.34;   ///< of the wheel, unloaded [m]

    bool operator==(const Tyre&) const = default;
};

/// The travel of a shock against that of its wheel, by a monotone cubic through the points.
struct LinkageTable {
    std::vector<double> wheel_travel; ///< rising from 0 [m]
    std::vector<double> travel;       ///< of the unit, rising from 0 [m]

    bool operator==(const LinkageTable&) const = default;
};

/// One wheel and what joins it to the unit; what it carries is the support's load.
struct Vehicle {
    double unsprung = 0.0; ///< mass of wheel, brake and what moves with it [kg]
    Tyre tyre;
    std::optional<LinkageTable> linkage = std::nullopt; ///< in place of a motion ratio

    bool operator==(const Vehicle&) const = default;
};

/// What cannot be solved; keys as in a set-up file, below `vehicle`.
Findings check(const Vehicle& vehicle);

/// Travel of the unit as a function of the wheel's: x(0) = 0.
class Linkage {
public:
    /// By the linkage of `vehicle`, or the ratio of `load`. Throws InputError where there is neither.
    Linkage(const Vehicle& vehicle, const damper::Load& load);

    struct Value {
        double travel = 0.0;    ///< x [m]
        double slope = 0.0;     ///< dx/dw [-]
        double curvature = 0.0; ///< d²x/dw² [1/m]
    };

    /// At the wheel travel `w` [m]; beyond the table along its end.
    Value at(double w) const;

    /// The wheel travel at which the unit has the travel `x` [m].
    double wheel_travel(double x) const;

    /// Travels of the unit at which the curvature jumps [m].
    const std::vector<double>& kinks() const { return m_travel; }

private:
    double m_ratio = 0.0; // without a table
    std::vector<double> m_wheel_travel;
    std::vector<double> m_travel;
    std::vector<double> m_slope;
};

} // namespace valve::motion
