#include <valve/core/constants.hpp>
#include <valve/flow/mixture.hpp>

#include <algorithm>
#include <cmath>
#include <optional>
#include <stdexcept>

namespace valve::flow {

namespace {

/// From `near` to where v − 1 is `expansion`, by one step of Halley's; none where it is too long to be exact.
std::optional<Mixture::State> one_step(const Mixture::State& near, double expansion) {
    constexpr double longest = 1e-5; // of the pressure; an error of its cube, less in slope and enthalpy
    const double newton = (expansion - near.expansion) / near.slope;
    const double step = newton / (1.0 + 0.5 * near.curvature * newton / near.slope);
    if (!(std::abs(step) <= longest * near.pressure)) return std::nullopt;
    return Mixture::State{near.pressure + step, expansion, near.slope + near.curvature * step, near.curvature,
                          near.enthalpy + step * (1.0 + near.expansion + 0.5 * near.slope * step)};
}

} // namespace

Mixture::Mixture(const OilState& oil, double exponent)
    : m_bulk_modulus(oil.bulk_modulus), m_air(oil.free_air), m_power(1.0 / exponent) {
    if (!(exponent > 0.0)) throw std::invalid_argument("Mixture: exponent must be positive");
}

Mixture::State Mixture::at(double pressure) const {
    const double liquid = std::expm1(-(pressure - p_atm) / m_bulk_modulus);
    const double share = 1.0 - m_air;
    State state{pressure, share * liquid, -share * (1.0 + liquid) / m_bulk_modulus, 0.0,
                -share * m_bulk_modulus * liquid};
    state.curvature = -state.slope / m_bulk_modulus;
    if (m_air == 0.0) return state;
    const double logarithm = std::log(p_atm / pressure);
    const double air = std::expm1(m_power * logarithm);
    const double slope = -m_air * m_power * (1.0 + air) / pressure;
    state.expansion += m_air * air;
    state.slope += slope;
    state.curvature -= (1.0 + m_power) * slope / pressure;
    // p_atm^(1/n) ∫ p^(-1/n) dp; at n = 1 its limit, the logarithm.
    const double rest = 1.0 - m_power;
    state.enthalpy += m_air * (rest == 0.0 ? -p_atm * logarithm : (pressure * (1.0 + air) - p_atm) / rest);
    return state;
}

Mixture::State Mixture::at_expansion(double expansion, State& near) const {
    if (m_air == 0.0) return at(p_atm - m_bulk_modulus * std::log1p(expansion));
    constexpr int few = 6;
    for (int step = 0; step < few; ++step) {
        if (const std::optional<State> there = one_step(near, expansion)) return *there;
        const double pressure = near.pressure + (expansion - near.expansion) / near.slope;
        if (!(pressure > 0.0)) break;
        near = at(pressure);
    }

    // v is convex and falls: Newton's steps from the low side rise to the root and stop there, and one from
    // the high side comes out on the low side. At either bound one part alone has the whole volume.
    const double volume = 1.0 + expansion;
    const double of_liquid = p_atm - m_bulk_modulus * std::log(volume / (1.0 - m_air));
    const double of_air = p_atm * std::pow(m_air / volume, 1.0 / m_power);
    const double low = std::max(of_liquid, of_air);
    near = at(low);
    constexpr int most = 200; // from the far end of the air's law some thirty are needed
    for (int step = 0; step < most; ++step) {
        if (const std::optional<State> there = one_step(near, expansion)) return *there;
        near = at(std::max(near.pressure + (expansion - near.expansion) / near.slope, low));
    }
    return near;
}

} // namespace valve::flow
