#include <valve/core/monotone.hpp>
#include <valve/core/root.hpp>
#include <valve/flow/restriction.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <stdexcept>

namespace valve::flow {

namespace {

/// tanh y, y ≥ 0, to some roundings; the usual function takes twice the time.
double fast_tanh(double y) {
    constexpr double far = 20.0;  // from here on it is 1 to the last digit,
    constexpr double near = 0.25; // from here on 1 less the rest has its digits
    if (y > far) return 1.0;
    if (y > near) return 1.0 - 2.0 / (1.0 + std::exp(2.0 * y));
    // Lambert's continued fraction y/(1 + y²/(3 + y²/(5 + ...))) as far as 11, multiplied out: its error,
    // less than y¹²/(3 15 35 63 99 143), is below a rounding.
    const double square = y * y;
    return y * (10395.0 + square * (1260.0 + square * 21.0)) /
           (10395.0 + square * (4725.0 + square * (210.0 + square)));
}

/// d(y tanh y)/dy divided by y, `tanh` being tanh y; 2 at zero.
double slope_over_y(double y, double tanh) {
    return (y > 0.0 ? tanh / y : 1.0) + (1.0 - tanh) * (1.0 + tanh);
}

/// y ≥ 0 with y tanh y = s, from any s on, by bounds alone.
double bounded_inverse(double s) {
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

/// y²/s of the inverse, which has no kink at zero, by cubics to 1e-6.
class Squares {
public:
    Squares() {
        for (std::size_t i = 0; i < m_nodes.size(); ++i) {
            const double y = bounded_inverse(width * static_cast<double>(i));
            if (y == 0.0) {
                m_nodes[i] = {1.0, 1.0 / 3.0}; // y²/s = 1 + s/3 + ...
                continue;
            }
            const double tanh = std::tanh(y);
            const double square = (1.0 - tanh) * (1.0 + tanh); // d tanh y/dy
            m_nodes[i] = {y / tanh, (tanh - y * square) / (tanh * tanh * (tanh + y * square))};
        }
    }

    double at(double s) const {
        const auto i = std::min(static_cast<std::size_t>(s / width), m_nodes.size() - 2);
        return hermite(width, s / width - static_cast<double>(i), m_nodes[i], m_nodes[i + 1]).value;
    }

    static constexpr double end = 20.0; // of s

private:
    static constexpr std::size_t intervals = 80;
    static constexpr double width = end / intervals;
    std::array<ValueSlope, intervals + 1> m_nodes;
};

/// An argument and its tanh.
struct Tanh {
    double y = 0.0;
    double value = 0.0;
};

/// y ≥ 0 with y tanh y = s.
Tanh inverse_y_tanh_y(double s) {
    if (!(s <= Squares::end)) return {s, 1.0}; // to the last digit
    static const Squares squares;
    const double y = std::sqrt(squares.at(s) * s);
    // One step of Halley's, whose error is the cube of the cubics'.
    const double tanh = fast_tanh(y);
    const double excess = y * tanh - s;
    const double bend = (1.0 - tanh) * (1.0 + tanh); // d tanh y/dy
    const double slope = tanh + y * bend;
    if (!(slope > 0.0)) return {0.0, 0.0}; // nothing flows
    const double newton = -excess / slope;
    const double change = newton / (1.0 + newton * bend * (1.0 - s) / slope);
    return {y + change, tanh + bend * change * (1.0 - tanh * change)};
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
    const Tanh of = inverse_y_tanh_y(m_transition * std::abs(flow) / m_capacity);
    const double x = of.y / m_transition;
    return {std::copysign(m_density * x * x / 2.0, flow),
            m_density / (m_capacity * m_transition * slope_over_y(of.y, of.value))};
}

} // namespace valve::flow
