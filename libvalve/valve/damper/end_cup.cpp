#include <valve/damper/end_cup.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/flow/leak.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace valve::damper {

EndCupLaw::EndCupLaw(const EndCup& cup, double rod, const flow::OilState& oil)
    : m_cup(cup), m_bore(cup.plug + 2.0 * cup.gap), m_rod_area(circle_area(rod)), m_oil(oil) {
    if (cup.hole)
        m_hole.emplace(flow::Opening{circle_area(*cup.hole), *cup.hole}, cup.discharge, cup.transition, oil);
}

/// Of the slot in the mouth [m]; before the plug is in, from its edge to that of the cup.
double EndCupLaw::width(double depth) const {
    if (depth <= 0.0) return std::hypot(m_cup.entry_gap, depth);
    return m_cup.entry_gap + (m_cup.gap - m_cup.entry_gap) * depth / m_cup.length;
}

bool EndCupLaw::acts(double depth) const {
    return width(depth) < 0.25 * m_bore;
}

double EndCupLaw::mean_diameter(double depth) const {
    return m_bore - 0.5 * (m_cup.entry_gap + width(std::max(depth, 0.0)));
}

double EndCupLaw::area(double depth) const {
    return circle_area(m_bore - 2.0 * width(std::max(depth, 0.0))) - m_rod_area;
}

/// Flow through the gap, at Δp = R Q + B Q².
ValueSlope EndCupLaw::gap_flow(double depth, double dp) const {
    const double width = this->width(depth);
    if (width == 0.0 || (depth > 0.0 && m_cup.entry_gap == 0.0)) return {}; // sealed
    const double diameter = mean_diameter(depth);
    const double resistance =
        depth > 0.0 ? 1.0 / flow::leak_conductance(flow::TaperedGap{diameter, m_cup.entry_gap, width, depth},
                                                   m_oil.dynamic_viscosity())
                    : 0.0;
    const double mouth = m_bore - this->width(std::max(depth, 0.0)); // mean diameter of the slot there
    const double slot = std::numbers::pi * mouth * m_cup.discharge;
    const double free_width = 0.25 * m_bore;
    const double jet =
        0.5 * m_oil.density / (slot * slot) * (1.0 / (width * width) - 1.0 / (free_width * free_width));
    const double flow = 2.0 * dp / (resistance + std::sqrt(resistance * resistance + 4.0 * jet * dp));
    return {flow, 1.0 / (resistance + 2.0 * jet * flow)};
}

double EndCupLaw::reynolds(double depth, double dp) const {
    return 2.0 * gap_flow(depth, dp).value /
           (std::numbers::pi * mean_diameter(depth) * m_oil.kinematic_viscosity);
}

/// Pressure drop that drives the plug's oil through gap and hole; none above `most`.
std::optional<double> EndCupLaw::drop(double depth, double speed, double most) const {
    if (speed == 0.0 || !acts(depth)) return 0.0;
    const double displaced = area(depth) * speed;
    const auto excess = [&](double dp) {
        ValueSlope sum = gap_flow(depth, dp);
        if (m_hole) {
            const ValueSlope hole = m_hole->flow(dp);
            sum.value += hole.value;
            sum.slope += hole.slope;
        }
        sum.value -= displaced;
        return sum;
    };
    if (!(excess(most).value >= 0.0)) return std::nullopt;
    // Where the plug only just narrows the mouth, next to nothing drives all of it.
    constexpr double nothing = 1e-6; // [Pa]
    if (most > nothing && excess(nothing).value >= 0.0) return 0.0;
    const Root root = find_root(excess, 0.0, most, most);
    if (!root.converged) throw SolveError("no pressure was found for the cup at the end of the stroke");
    return root.x;
}

double EndCupLaw::pressure(double depth, double speed) const {
    if (const std::optional<double> dp = drop(depth, speed, max_pressure)) return *dp;
    throw SolveError(fmt::format("the cup at an end of the stroke would hold more than {:.4g} bar: give its "
                                 "plug a wider gap or a hole",
                                 max_pressure / 1e5));
}

double EndCupLaw::suction(double depth, double speed, double most) const {
    return drop(depth, speed, most).value_or(most);
}

EndCupLaw::Effect EndCupLaw::effect(Stroke stroke, double speed, double depth, double headroom) const {
    if (!acts(depth)) return {};
    const double outwards = stroke == Stroke::compression ? 1.0 : -1.0; // on a plug that is pressed upon
    const double inward_speed = outwards * speed;
    Effect result;
    if (inward_speed > 0.0) {
        result.pressure = pressure(depth, inward_speed);
    } else if (!leaves_freely()) {
        result.pressure = -suction(depth, -inward_speed, headroom);
        result.is_empty = inward_speed < 0.0 && result.pressure == -headroom;
    }
    result.force = outwards * result.pressure * area(depth);
    return result;
}

} // namespace valve::damper
