#include <valve/core/constants.hpp>
#include <valve/flow/mixture.hpp>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace valve::flow {

Mixture::Mixture(const OilState& oil, double exponent)
    : m_bulk_modulus(oil.bulk_modulus), m_air(oil.free_air), m_power(1.0 / exponent) {
    if (!(exponent > 0.0)) throw std::invalid_argument("Mixture: exponent must be positive");
}

ValueSlope Mixture::volume(double pressure) const {
    const ValueSlope beyond_one = expansion(pressure);
    return {1.0 + beyond_one.value, beyond_one.slope};
}

ValueSlope Mixture::expansion(double pressure) const {
    const double liquid = std::expm1(-(pressure - p_atm) / m_bulk_modulus);
    ValueSlope result{(1.0 - m_air) * liquid, -(1.0 - m_air) * (1.0 + liquid) / m_bulk_modulus};
    if (m_air > 0.0) {
        const double air = std::expm1(m_power * std::log(p_atm / pressure));
        result.value += m_air * air;
        result.slope -= m_air * m_power * (1.0 + air) / pressure;
    }
    return result;
}

double Mixture::pressure(double expansion, double guess) const {
    if (m_air == 0.0) return p_atm - m_bulk_modulus * std::log1p(expansion);
    constexpr double near = 1e-8; // a step so short leaves its square
    constexpr int few = 6;
    double pressure = guess;
    for (int step = 0; step < few && pressure > 0.0; ++step) {
        const ValueSlope here = this->expansion(pressure);
        const double change = (expansion - here.value) / here.slope;
        pressure += change;
        if (std::abs(change) <= near * pressure) return pressure;
    }

    // v is convex and falls: Newton's steps from the low side rise to the root and stop there, and one from
    // the high side comes out on the low side. At either bound one part alone has the whole volume.
    const double volume = 1.0 + expansion;
    const double of_liquid = p_atm - m_bulk_modulus * std::log(volume / (1.0 - m_air));
    const double of_air = p_atm * std::pow(m_air / volume, 1.0 / m_power);
    const double low = std::max(of_liquid, of_air);
    pressure = low;
    constexpr int most = 200; // from the far end of the air's law some thirty are needed
    for (int step = 0; step < most; ++step) {
        const ValueSlope here = this->expansion(pressure);
        const double change = (expansion - here.value) / here.slope;
        pressure = std::max(pressure + change, low);
        if (std::abs(change) <= near * pressure) break;
    }
    return pressure;
}

double Mixture::enthalpy(double pressure) const {
    const double liquid = -m_bulk_modulus * std::expm1(-(pressure - p_atm) / m_bulk_modulus);
    if (m_air == 0.0) return liquid;
    // p_atm^(1/n) ∫ p^(-1/n) dp; at n = 1 its limit, the logarithm.
    const double logarithm = std::log(pressure / p_atm);
    const double rest = 1.0 - m_power;
    const double air = p_atm * (rest == 0.0 ? logarithm : std::expm1(rest * logarithm) / rest);
    return (1.0 - m_air) * liquid + m_air * air;
}

} // namespace valve::flow
