// What a ride brings in, stores and loses.

#include <valve/core/constants.hpp>
#include <valve/core/cubic.hpp>
#include <valve/motion/detail/ride_equations.hpp>

#include <cmath>

namespace valve::motion::detail {

namespace {

// Gauss's formula of three points.
constexpr std::array<double, 3> places{0.11270166537925831, 0.5, 0.88729833462074169};
constexpr std::array<double, 3> weights{5.0 / 18.0, 8.0 / 18.0, 5.0 / 18.0};

} // namespace

RideEquations::StepEnd RideEquations::step_end(double t, std::span<const double> y) {
    const State at = state(t, y);
    const bool held = m_modes.rub == Rub::stuck;
    return {.time = t,
            .travel = at.rod.travel,
            .wheel_rate = {held ? 0.0 : y[1], held ? 0.0 : at.unsprung - at.sprung},
            .wheel = {y[2], y[3]},
            .wheel_speed = {y[3], at.unsprung},
            .ratio = at.unit.slope};
}

void RideEquations::begin_step(double t, std::span<const double> y) {
    if (!m_step || m_step->time != t) m_step = step_end(t, y);
}

/// Speeds are smooth whatever pressures do: masses see to that. Friction is the same throughout a step, so
/// that its loss is exact.
void RideEquations::end_step(double t, std::span<const double> y) {
    const StepEnd from = *m_step;
    const StepEnd to = step_end(t, y);
    m_step = to;
    const double width = t - from.time;
    if (!(width > 0.0)) return;
    const Tyre& tyre = m_vehicle.tyre;
    const double metal_damping =
        (m_modes.metal[0] ? m_metal_damping[0] : 0.0) + (m_modes.metal[1] ? m_metal_damping[1] : 0.0);
    for (std::size_t k = 0; k < places.size(); ++k) {
        const double share = places[k];
        const double now = from.time + share * width;
        const double time = weights[k] * width;
        const double wheel_speed = hermite(width, share, from.wheel_speed, to.wheel_speed).value;
        const double wheel_rate = hermite(width, share, from.wheel_rate, to.wheel_rate).value;
        if (m_modes.tyre) {
            const ValueSlope ground = m_ground.at(m_piece, m_event.speed * now);
            const double ground_speed = ground.slope * m_event.speed;
            const double deflection = ground.value - hermite(width, share, from.wheel, to.wheel).value;
            const double rate = ground_speed - wheel_speed;
            m_sums.ground += time * (tyre.rate * deflection + tyre.damping * rate) * ground_speed;
            m_sums.tyre += time * tyre.damping * rate * rate;
        }
        m_sums.transfer -= time * transfer(now) * (wheel_speed - wheel_rate);
        if (metal_damping > 0.0) {
            const double speed = wheel_rate * (from.ratio + share * (to.ratio - from.ratio));
            m_sums.metal += time * metal_damping * speed * speed;
        }
    }
    if (m_modes.rub == Rub::in || m_modes.rub == Rub::out)
        m_sums.friction += (m_modes.rub == Rub::in ? m_friction : -m_friction) * (to.travel - from.travel);
}

double RideEquations::stored(double t, std::span<const double> y) const {
    const State& at = vehicle_state(t, y);
    const double sprung_speed = y[3] - y[1];
    double sum = 0.5 * m_sprung * sprung_speed * sprung_speed + 0.5 * m_vehicle.unsprung * y[3] * y[3] +
                 standard_gravity * (m_sprung * (y[2] - y[0]) + m_vehicle.unsprung * y[2]) +
                 at.springs.energy;
    if (m_modes.tyre) sum += 0.5 * m_vehicle.tyre.rate * at.deflection * at.deflection;
    for (std::size_t end = 0; end < 2; ++end)
        if (m_modes.metal[end]) sum += 0.5 * metal_rate * at.into[end] * at.into[end];
    return sum;
}

RideEquations::DamperStore RideEquations::stored_in_dampers(double t, std::span<const double> y) {
    const State& at = vehicle_state(t, y);
    DamperStore result;
    for (std::size_t i = 0; i < m_dampers.size(); ++i) {
        result.stored.push_back(m_dampers[i].stored(at.rod, unknowns(y, i)));
        result.impacts.push_back(m_dampers[i].impact_energy());
    }
    return result;
}

double RideEquations::left_open(const DamperStore& before, const DamperStore& now,
                                const RideEnergies& energies) const {
    double open = 0.0;
    for (std::size_t i = 0; i < m_dampers.size(); ++i) {
        const Energies& e = energies.units[i];
        const MovingDamper::Stored& from = before.stored[i];
        const MovingDamper::Stored& to = now.stored[i];
        const double own =
            std::abs(e.rod - (to.oil - from.oil) - e.reservoir - e.friction - lost_across(e)) +
            std::abs(e.plates - (to.plates - from.plates) - (now.impacts[i] - before.impacts[i]));
        open += m_units[i].support.legs() * own;
    }
    return open;
}

RideLosses RideEquations::losses(const RideEnergies& energies) const {
    RideLosses sum;
    for (std::size_t i = 0; i < m_dampers.size(); ++i) {
        const Energies& e = energies.units[i];
        const double legs = m_units[i].support.legs();
        for (std::size_t place = 0; place < e.valves.size(); ++place)
            sum.valves[place] += legs * e.valves[place];
        sum.base_bleeds += legs * e.base_bleeds;
        sum.piston_bleeds += legs * e.piston_bleeds;
        sum.cups += legs * e.cups;
        sum.reservoir_friction += legs * e.friction;
    }
    sum.friction = energies.friction;
    sum.tyre = energies.tyre;
    sum.metal = energies.metal;
    return sum;
}

RideEnergies RideEquations::energies(std::span<const double> y, const DamperStore& before,
                                     const DamperStore& now) const {
    RideEnergies result;
    for (std::size_t i = 0; i < m_dampers.size(); ++i) {
        Energies& unit = result.units.emplace_back(m_dampers[i].energies_of(
            y.subspan(m_first_energy + i * MovingDamper::energies, MovingDamper::energies)));
        const std::optional<double>& reservoir = now.stored[i].reservoir;
        if (reservoir) unit.reservoir = *reservoir - *before.stored[i].reservoir;
    }
    const std::span<const double> q = y.subspan(m_first_quadrature);
    result.ground = m_sums.ground;
    result.transfer = m_sums.transfer;
    result.tyre = m_sums.tyre + m_tyre_relaxed;
    result.friction = m_sums.friction;
    result.metal = m_sums.metal + m_metal_relaxed;
    result.dampers = q[0];
    return result;
}

RideEquations::Means RideEquations::means(std::span<const double> y) const {
    const std::span<const double> q = y.subspan(m_first_quadrature);
    return {q[1], q[2], q[3]};
}

} // namespace valve::motion::detail
