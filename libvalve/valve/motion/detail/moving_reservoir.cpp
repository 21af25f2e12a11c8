#include <valve/motion/detail/moving_reservoir.hpp>

#include <cmath>

namespace valve::motion::detail {

MovingReservoir::MovingReservoir(const damper::Model& model)
    : m_law(model.reservoir()), m_rests(model.setup().reservoir.kind == damper::ReservoirKind::spring_piston),
      m_least(m_rests ? m_law.pressure(0.0, 0.0) : 0.0) {
    const damper::Reservoir& reservoir = model.setup().reservoir;
    if (!m_rests && reservoir.kind != damper::ReservoirKind::leg) {
        m_gas_volume = reservoir.gas_volume;
        m_exponent = reservoir.exponent;
    }
    if (!reservoir.stroke && !reservoir.capacity) return;
    constexpr double short_of_it = 1.0 - 1e-9; // where the law still holds
    const double room = short_of_it * damper::reservoir_travel_limit(model.setup()) * model.rod_area();
    const bool gas_ends_first = !m_rests && room >= short_of_it * reservoir.gas_volume;
    if (reservoir.kind == damper::ReservoirKind::leg || gas_ends_first) return;
    m_room = room;
    m_most = m_law.pressure(0.0, room);
}

double MovingReservoir::pressure(double travel, double volume) {
    if (m_rests && volume < 0.0) return m_least * std::exp(volume / cushion);
    if (is_full(volume)) return m_most * (1.0 + (volume - m_room) / cushion);
    return m_gas_volume > 0.0 ? gas_pressure(volume) : m_law.pressure(travel, volume);
}

/// From where its law was last asked, by the series of (1 + x)^−n where that is exact.
double MovingReservoir::gas_pressure(double volume) {
    constexpr double near = 1e-3; // the sixth power of which is nothing
    const double room = m_gas_volume - volume;
    const double x = (room - m_near_room) / m_near_room;
    if (!(std::abs(x) <= near)) {
        m_near_pressure = m_law.pressure(0.0, volume);
        m_near_room = room;
        return m_near_pressure;
    }
    const double n = m_exponent;
    constexpr double third = 1.0 / 3.0;
    constexpr double fifth = 1.0 / 5.0;
    return m_near_pressure *
           (1.0 - x * n *
                      (1.0 - x * (n + 1.0) * 0.5 *
                                 (1.0 - x * (n + 2.0) * third *
                                            (1.0 - x * (n + 3.0) * 0.25 * (1.0 - x * (n + 4.0) * fifth)))));
}

double MovingReservoir::stiffness(double volume, double pressure) const {
    if (m_rests && volume < 0.0) return pressure / cushion;
    if (is_full(volume)) return m_most / cushion;
    return m_law.stiffness(volume, pressure);
}

double MovingReservoir::work(double volume) const {
    if (m_rests && volume < 0.0) return m_least * cushion * std::expm1(volume / cushion);
    if (is_full(volume)) {
        const double more = volume - m_room;
        return m_law.work(m_room) + m_most * more * (1.0 + 0.5 * more / cushion);
    }
    return m_law.work(volume);
}

} // namespace valve::motion::detail
