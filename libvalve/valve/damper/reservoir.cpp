#include <valve/core/detail/infinity.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/damper/reservoir.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace valve::damper {

namespace {

/// The most oil that the reservoir holds, the largest V_S [m³].
double capacity(const Reservoir& reservoir) {
    double most = reservoir.capacity.value_or(infinity);
    if (reservoir.stroke) most = std::min(most, *reservoir.stroke * circle_area(reservoir.diameter));
    if (reservoir.kind != ReservoirKind::spring_piston) most = std::min(most, reservoir.gas_volume);
    return most;
}

/// `reservoir` with the leg's air in the place of its own gas where it is the leg.
Reservoir with_gas(const SetUp& setup) {
    Reservoir reservoir = setup.reservoir;
    if (reservoir.kind != ReservoirKind::leg) return reservoir;
    if (!setup.support || !setup.support->leg) throw std::invalid_argument("reservoir: no leg");
    const Leg& leg = *setup.support->leg;
    reservoir.gas_volume = air_volume(leg);
    reservoir.gas_pressure = leg.pressure;
    reservoir.exponent = leg.exponent;
    return reservoir;
}

} // namespace

double reservoir_travel_limit(const SetUp& setup) {
    if (setup.reservoir.kind == ReservoirKind::leg)
        return with_gas(setup).gas_volume / circle_area(setup.support->leg->diameter);
    return capacity(setup.reservoir) / rod_area(setup.cartridge);
}

ReservoirLaw::ReservoirLaw(const SetUp& setup)
    : m_reservoir(with_gas(setup)), m_piston_area(circle_area(setup.reservoir.diameter)),
      m_rod_area(rod_area(setup.cartridge)), m_travel_limit(reservoir_travel_limit(setup)) {
    if (has_piston(m_reservoir.kind) && m_reservoir.friction > 0.0)
        m_friction_pressure = m_reservoir.friction / m_piston_area;
    if (m_reservoir.kind == ReservoirKind::leg) m_leg_area = circle_area(setup.support->leg->diameter);
}

double ReservoirLaw::pressure(double travel, double volume) const {
    const bool leg = m_reservoir.kind == ReservoirKind::leg;
    const double equivalent_travel = leg ? travel : volume / m_rod_area;
    if (!(equivalent_travel < m_travel_limit))
        throw SolveError(
            fmt::format("the reservoir is full at {:.4g} mm of travel: give it more room or less travel",
                        m_travel_limit * 1e3));
    if (m_reservoir.kind != ReservoirKind::spring_piston)
        return gas_pressure(m_reservoir.gas_pressure, m_reservoir.gas_volume, m_reservoir.exponent,
                            leg ? m_leg_area * travel : volume);
    if (volume < 0.0)
        throw SolveError(
            fmt::format("the reservoir's piston is on its end stop with {:.3g} ml of oil missing: give "
                        "it more preload or the refill more flow",
                        -volume * 1e6));
    return m_reservoir.back_pressure +
           (m_reservoir.preload + m_reservoir.spring_rate * volume / m_piston_area) / m_piston_area;
}

void ReservoirLaw::refuse_leg() const {
    if (m_reservoir.kind == ReservoirKind::leg)
        throw std::invalid_argument("ReservoirLaw: the leg's air does not follow from the oil taken in");
}

double ReservoirLaw::stiffness(double volume) const {
    refuse_leg();
    if (m_reservoir.kind == ReservoirKind::spring_piston)
        return m_reservoir.spring_rate / (m_piston_area * m_piston_area);
    return gas_stiffness(m_reservoir.gas_pressure, m_reservoir.gas_volume, m_reservoir.exponent, volume);
}

double ReservoirLaw::stiffness(double volume, double pressure) const {
    refuse_leg();
    if (m_reservoir.kind == ReservoirKind::spring_piston) return stiffness(volume);
    return m_reservoir.exponent * pressure / (m_reservoir.gas_volume - volume);
}

double ReservoirLaw::work(double volume) const {
    refuse_leg();
    if (m_reservoir.kind != ReservoirKind::spring_piston)
        return gas_work(m_reservoir.gas_pressure, m_reservoir.gas_volume, m_reservoir.exponent, volume);
    const double stroke = volume / m_piston_area;
    return m_reservoir.back_pressure * volume +
           (m_reservoir.preload + 0.5 * m_reservoir.spring_rate * stroke) * stroke;
}

} // namespace valve::damper
