#include <valve/core/constants.hpp>
#include <valve/core/error.hpp>
#include <valve/flow/mixture.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <stdexcept>

namespace valve::flow {

namespace {

/// From `near` to where v − 1 is `expansion`, by Taylor's series there; none where it is too far to be exact.
/// `power` is 1/n.
std::optional<Mixture::State> one_step(const Mixture::State& near, double bulk_modulus, double power,
                                       double expansion) {
    constexpr double longest = 2e-3; // of the pressure and of K; the sixth power is left out
    const double newton = (expansion - near.expansion) / near.slope;
    const double halley = newton / (1.0 + 0.5 * near.curvature * newton / near.slope);
    if (!(std::abs(halley) <= longest * std::min(near.pressure, bulk_modulus))) return std::nullopt;
    // Each derivative of the air's part is that before times −(k + 1/n)/p, of the liquid's times −1/K. Slope
    // and curvature would tell of the two parts, too, but not where both factors of the curvature are alike,
    // at p = (1 + 1/n) K.
    const double per_p = 1.0 / near.pressure;
    const double per_K = 1.0 / bulk_modulus;
    const double air_2 = -near.air_slope * (1.0 + power) * per_p;
    const double air_3 = -air_2 * (2.0 + power) * per_p;
    const double air_4 = -air_3 * (3.0 + power) * per_p;
    const double air_5 = -air_4 * (4.0 + power) * per_p;
    const double liquid_3 = (near.slope - near.air_slope) * per_K * per_K;
    const double liquid_4 = -liquid_3 * per_K;
    const double third = air_3 + liquid_3;
    const double fourth = air_4 + liquid_4;
    const double fifth = air_5 - liquid_4 * per_K;
    constexpr std::array<double, 7> over{1.0,        1.0,         1.0 / 2.0,  1.0 / 6.0,
                                         1.0 / 24.0, 1.0 / 120.0, 1.0 / 720.0}; // factorials
    const double h = halley;
    const double square = h * h;
    const double curvature = near.curvature + h * third + square * (over[2] * fourth + h * over[3] * fifth);
    const double slope = near.slope + h * near.curvature +
                         square * ((over[2] * third + h * over[3] * fourth) + square * over[4] * fifth);
    const double change = h * near.slope + square * ((over[2] * near.curvature + h * over[3] * third) +
                                                     square * (over[4] * fourth + h * over[5] * fifth));
    const double rest = (expansion - near.expansion - change) / slope; // of Halley's step, its cube
    const double d = h + rest;
    const double d_square = d * d;
    const double air_slope =
        near.air_slope + d * air_2 +
        d_square * ((over[2] * air_3 + d * over[3] * air_4) + d_square * over[4] * air_5);
    const double enthalpy =
        d * (1.0 + near.expansion) +
        d_square * ((over[2] * near.slope + d * over[3] * near.curvature) +
                    d_square * ((over[4] * third + d * over[5] * fourth) + d_square * over[6] * fifth));
    return Mixture::State{near.pressure + d,        expansion, slope + curvature * rest, curvature,
                          near.enthalpy + enthalpy, air_slope};
}

} // namespace

Mixture::Mixture(const OilState& oil, double exponent)
    : m_bulk_modulus(oil.bulk_modulus), m_air(oil.free_air), m_power(1.0 / exponent) {
    if (!(exponent > 0.0)) throw std::invalid_argument("Mixture: exponent must be positive");
}

Mixture::State Mixture::at(double pressure) const {
    const double liquid = std::expm1(-(pressure - p_atm) / m_bulk_modulus);
    const double share = 1.0 - m_air;
    State state{pressure,
                share * liquid,
                -share * (1.0 + liquid) / m_bulk_modulus,
                0.0,
                -share * m_bulk_modulus * liquid,
                0.0};
    state.curvature = -state.slope / m_bulk_modulus;
    if (m_air == 0.0) return state;
    const double logarithm = std::log(p_atm / pressure);
    const double air = std::expm1(m_power * logarithm);
    const double slope = -m_air * m_power * (1.0 + air) / pressure;
    state.expansion += m_air * air;
    state.slope += slope;
    state.air_slope = slope;
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
        if (const std::optional<State> there = one_step(near, m_bulk_modulus, m_power, expansion))
            return *there;
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
        if (const std::optional<State> there = one_step(near, m_bulk_modulus, m_power, expansion))
            return *there;
        near = at(std::max(near.pressure + (expansion - near.expansion) / near.slope, low));
    }
    throw SolveError(fmt::format("no pressure found at which oil has {:.6g} of its volume", volume));
}

} // namespace valve::flow
