#include <valve/flow/restriction.hpp>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace valve::flow {

namespace {

/// tanh y, y ≥ 0, to rounding; the usual function takes twice the time.
double fast_tanh(double y) {
    constexpr double far = 20.0; // it is 1 to the last digit
    if (y > far) return 1.0;
    return y > 1.0 ? 1.0 - 2.0 / (1.0 + std::exp(2.0 * y)) : std::tanh(y);
}

/// d(y tanh y)/dy divided by y, `tanh` being tanh y; 2 at zero.
double slope_over_y(double y, double tanh) {
    return (y > 0.0 ? tanh / y : 1.0) + (1.0 - tanh) * (1.0 + tanh);
}

/// y ≥ 0 with y tanh y = s.
double inverse_y_tanh_y(double s) {
    // Let m = max(s, √s). Then m ≤ y, because tanh y ≤ min(1, y). And y ≤ c m for every c with c tanh c ≥ 1,
    // of which 1.2 is one (1.0004): y tanh y rises, so it is enough that c m tanh(c m) ≥ s. For s ≤ 1, m = √s
    // and this reads c tanh(c m)/m ≥ 1; the left falls with m and is c tanh c at m = 1. For s ≥ 1, m = s and
    // it reads c tanh(c m) ≥ 1; the left rises with m and is c tanh c at m = 1.
    const double m = std::max(s, std::sqrt(s));
    const auto excess = [s](double y) {
        const double tanh = fast_tanh(y);
        return ValueSlope{y * tanh - s, y * slope_over_y(y, tanh)};
    };
    return find_root(excess, m, 1.2 * m, m).x;
}

} // namespace

Restriction::Restriction(const Opening& opening, double discharge, double transition, const OilState& oil)
    : m_capacity(discharge * opening.area),
      m_transition(2.0 * opening.hydraulic_diameter / (oil.kinematic_viscosity * transition)),
      m_density(oil.density) {
    if (!(m_capacity > 0.0) || !(m_transition > 0.0) || !std::isfinite(m_transition) || !(m_density > 0.0))
        throw std::invalid_argument("Restriction: opening, coefficients and oil must be positive");
}

ValueSlope Restriction::flow(double dp) const {
    const double x = std::sqrt(2.0 * std::abs(dp) / m_density);
    const double y = m_transition * x;
    const double tanh = fast_tanh(y);
    return {std::copysign(m_capacity * x * tanh, dp),
            m_capacity * m_transition * slope_over_y(y, tanh) / m_density};
}

ValueSlope Restriction::pressure(double flow) const {
    const double y = inverse_y_tanh_y(m_transition * std::abs(flow) / m_capacity);
    const double x = y / m_transition;
    return {std::copysign(m_density * x * x / 2.0, flow),
            m_density / (m_capacity * m_transition * slope_over_y(y, fast_tanh(y)))};
}

} // namespace valve::flow
