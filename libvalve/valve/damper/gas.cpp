#include <valve/damper/gas.hpp>

#include <cmath>
#include <stdexcept>

namespace valve::damper {

namespace {

void require_volume_left(double volume, double swept) {
    if (!(swept < volume)) throw std::invalid_argument("gas: no volume left");
}

} // namespace

double gas_pressure(double pressure, double volume, double exponent, double swept) {
    require_volume_left(volume, swept);
    return pressure * std::pow(volume / (volume - swept), exponent);
}

double gas_stiffness(double pressure, double volume, double exponent, double swept) {
    return exponent * gas_pressure(pressure, volume, exponent, swept) / (volume - swept);
}

double gas_work(double pressure, double volume, double exponent, double swept) {
    require_volume_left(volume, swept);
    const double compression = -std::log1p(-swept / volume);
    const double above_isothermal = exponent - 1.0;
    const double relative =
        above_isothermal == 0.0 ? compression : std::expm1(above_isothermal * compression) / above_isothermal;
    return pressure * volume * relative;
}

} // namespace valve::damper
