#pragma once

#include <valve/core/findings.hpp>
#include <valve/core/root.hpp>
#include <valve/damper/spec.hpp>

#include <vector>

namespace valve::damper {

/// What cannot be a linkage; keys are the members' names.
Findings check(const LinkageTable& table);

/// Travel of the unit, x [m], as a function of the wheel's, w [m]: x(0) = 0. By rake or motion ratio x = r w,
/// r being 1/cos(rake) or the ratio. By a table x is a cubic between its points, with a continuous slope that
/// is never below zero. At inner points the slope is a mean of the secants on either side; at the first and
/// the last point it is the secant of the end interval itself, not a rule of three points, and beyond them it
/// stays so. Source: fritsch_butland_1984, as in core/monotone.hpp.
class Linkage {
public:
    /// Throws InputError where `load` has not just one of rake, motion ratio and table, or a table that does
    /// not rise.
    explicit Linkage(const Load& load);

    struct Value {
        double travel = 0.0;    ///< x [m]
        double slope = 0.0;     ///< r = dx/dw [-]
        double curvature = 0.0; ///< d²x/dw² [1/m]; at a point of the table that of the travel beyond
    };

    /// At the wheel travel `w` [m]; beyond the table along its end.
    Value at(double w) const;

    /// The wheel travel at which the unit has the travel `x` [m].
    double wheel_travel(double x) const;

    /// At the travel `x` of the unit [m].
    Value at_travel(double x) const { return at(wheel_travel(x)); }

    /// Travels of the unit at which the curvature jumps [m]; none without a table.
    const std::vector<double>& kinks() const { return m_travel; }

private:
    double m_ratio = 0.0; // without a table
    std::vector<double> m_wheel_travel;
    std::vector<double> m_travel;
    std::vector<double> m_slope;
};

/// What a force of the unit [N], with its slope over the unit's travel [N/m], is at the wheel: r F, and
/// r² F' + r' F over the wheel's travel. Power balances: r F dw = F dx.
inline ValueSlope at_wheel(const Linkage::Value& unit, ValueSlope force) {
    return {unit.slope * force.value, unit.slope * unit.slope * force.slope + unit.curvature * force.value};
}

} // namespace valve::damper
