#include <valve/core/root.hpp>
#include <valve/flow/restriction.hpp>

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <numbers>
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
    const Root root = find_root(excess, m, 1.2 * m, m);
    if (!root.converged) throw std::logic_error("Restriction: the hyperbolic law has no inverse");
    return root.x;
}

/// y²/s of that inverse, which has no kink at zero, by polynomials to the last digit. The pressure follows
/// from it with neither a root nor an exponential.
class Squares {
public:
    Squares() {
        for (std::size_t j = 0; j < nodes; ++j)
            m_at[j] =
                0.5 * width * (1.0 + std::cos(std::numbers::pi * (static_cast<double>(j) + 0.5) / nodes));
        for (std::size_t i = 0; i < intervals; ++i) {
            std::array<double, nodes>& divided = m_divided[i];
            for (std::size_t j = 0; j < nodes; ++j) {
                const double s = width * static_cast<double>(i) + m_at[j];
                const double y = bounded_inverse(s);
                divided[j] = y * y / s;
            }
            for (std::size_t k = 1; k < nodes; ++k)
                for (std::size_t j = nodes; j-- > k;)
                    divided[j] = (divided[j] - divided[j - 1]) / (m_at[j] - m_at[j - k]);
        }
    }

    /// `s` from 0 to `end`.
    double at(double s) const {
        const auto i = std::min(static_cast<std::size_t>(s / width), intervals - 1);
        const double* const divided = m_divided[i].data();
        const double from = s - width * static_cast<double>(i);
        double result = divided[nodes - 1];
        for (std::size_t k = nodes - 1; k-- > 0;)
            result = result * (from - m_at[k]) + divided[k];
        return result;
    }

    static constexpr double end = 20.0; // from here on tanh y is 1 to the last digit, and y is s

private:
    static constexpr std::size_t intervals = 80;
    static constexpr std::size_t nodes = 10; // of Chebyshev's; what is left out is below 1e-15
    static constexpr double width = end / intervals;
    std::array<double, nodes> m_at{};                             // from the beginning of an interval
    std::array<std::array<double, nodes>, intervals> m_divided{}; // differences
};

/// y²/s where y tanh y = s.
double squares(double s) {
    if (!(s <= Squares::end)) return s;
    static const Squares squares;
    return squares.at(s);
}

} // namespace

Restriction::Restriction(const Opening& opening, double discharge, double transition, const OilState& oil)
    : m_capacity(discharge * opening.area),
      m_transition(2.0 * opening.hydraulic_diameter / (oil.kinematic_viscosity * transition)),
      m_per_flow(m_transition / m_capacity), m_density(oil.density) {
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
    // x = y/κ, so that Δp = ρ x²/2 is y² times a number. With y² = s g, tanh y is s/y, and d(y tanh y)/dy
    // divided by y, that is (tanh y)/y + 1 − tanh² y, is (1 + g − s)/g.
    const double s = m_per_flow * std::abs(flow);
    const double g = squares(s);
    const double per_transition = 1.0 / m_transition;
    const double scale = m_density * per_transition;
    return {std::copysign(0.5 * scale * per_transition * s * g, flow),
            scale / m_capacity * g / (1.0 + g - s)};
}

} // namespace valve::flow
