#include <valve/core/constants.hpp>
#include <valve/core/findings.hpp>
#include <valve/flow/oil.hpp>

#include <cmath>
#include <stdexcept>

namespace valve::flow {

namespace {

constexpr double mm2_per_m2 = 1e6;
constexpr double walther_constant = 0.7; // [mm²/s]

double walther(double viscosity) {
    return std::log10(std::log10(viscosity * mm2_per_m2 + walther_constant));
}

} // namespace

double kinematic_viscosity(const Oil& oil, double temperature) {
    const auto [cold, cold_viscosity] = *oil.viscosity.begin();
    const auto [hot, hot_viscosity] = *oil.viscosity.rbegin();
    const double share = std::log10(temperature / cold) / std::log10(hot / cold);
    const double value = walther(cold_viscosity) + share * (walther(hot_viscosity) - walther(cold_viscosity));
    return (std::pow(10.0, std::pow(10.0, value)) - walther_constant) / mm2_per_m2;
}

double density(const Oil& oil, double temperature) {
    constexpr double fifteen_celsius = zero_celsius + 15.0;
    return oil.density_15 * (1.0 - oil.expansion * (temperature - fifteen_celsius));
}

OilState state_of(const Oil& oil, double temperature) {
    Oil there = oil;
    there.temperature = temperature;
    refuse_errors<std::invalid_argument>(check(there), "oil.");
    return {.temperature = temperature,
            .density = density(oil, temperature),
            .kinematic_viscosity = kinematic_viscosity(oil, temperature),
            .bulk_modulus = oil.bulk_modulus,
            .free_air = oil.free_air,
            .cavitation_pressure = oil.cavitation_pressure};
}

OilState state_of(const Oil& oil) {
    return state_of(oil, oil.temperature);
}

} // namespace valve::flow
