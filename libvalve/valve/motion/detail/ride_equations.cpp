#include <valve/core/constants.hpp>
#include <valve/core/error.hpp>
#include <valve/core/root.hpp>
#include <valve/damper/sag.hpp>
#include <valve/motion/detail/ride_equations.hpp>

#include <algorithm>
#include <cmath>
#include <limits>

namespace valve::motion::detail {

namespace {

/// Sliding ends this far beyond rest, so that rounding about zero ends nothing [m/s].
constexpr double creep = 1e-9;

// Beyond these a watched function has the wrong sign and has not just been found to change it.
constexpr double no_speed = 1e-8; // [m/s]
constexpr double no_force = 1e-6; // [N]

/// How high the ground of an event is, by order of size [m].
double relief(const Event& event) {
    constexpr double least = 1e-3;
    double height = event.height;
    if (event.kind == EventKind::rough)
        height = 0.5 * std::sqrt(event.roughness); // r.m.s., from 0.05 cycles/m on
    if (event.kind == EventKind::profile) {
        const auto [low, high] = std::minmax_element(event.heights.begin(), event.heights.end());
        height = *high - *low;
    }
    return std::max(height, least);
}

} // namespace

RideEquations::RideEquations(std::span<const RideUnit> units, const Vehicle& vehicle,
                             const damper::Linkage& linkage, const damper::Load& load, const Event& event,
                             const Ground& ground)
    : m_units(units.begin(), units.end()), m_vehicle(vehicle), m_linkage(linkage), m_event(event),
      m_ground(ground), m_sprung(damper::mass_on_wheel(load, true)) {
    m_static_load = (m_sprung + vehicle.unsprung) * standard_gravity;
    m_per_sprung = 1.0 / m_sprung;
    m_per_unsprung = 1.0 / vehicle.unsprung;
    m_per_mass = 1.0 / (m_sprung + vehicle.unsprung);
    m_first_damper_root = first_kink_root;
    m_kinks = linkage.kinks();
    for (const RideUnit& unit : m_units) {
        m_dampers.emplace_back(unit.model, unit.valves, rod_into(unit.model.setup()));
        m_first.push_back(m_coupled);
        m_coupled += m_dampers.back().unknowns();
        m_first_root.push_back(m_damper_roots);
        m_damper_roots += m_dampers.back().roots();
        m_friction += unit.support.bushing_friction();
        m_breakaway += unit.support.bushing_breakaway();
        const std::vector<double> kinks = unit.support.kinks();
        m_kinks.insert(m_kinks.end(), kinks.begin(), kinks.end());
        for (const damper::Stroke stroke : {damper::Stroke::compression, damper::Stroke::rebound})
            if (const damper::EndCupLaw* cup = unit.model.end_cup(stroke)) {
                const bool inwards = stroke == damper::Stroke::compression;
                m_kinks.push_back(inwards ? unit.model.setup().cartridge.travel - cup->length()
                                          : cup->length());
            }
    }
    std::sort(m_kinks.begin(), m_kinks.end());
    m_kinks.erase(std::unique(m_kinks.begin(), m_kinks.end()), m_kinks.end());
    m_full_travel = m_units.front().support.travel();
    for (const RideUnit& unit : m_units)
        m_full_travel = std::min(m_full_travel, unit.support.travel());
    m_first_damper_root += m_kinks.size();
    m_first_energy = m_coupled;
    m_first_quadrature = m_first_energy + m_dampers.size() * MovingDamper::energies;
    m_modes.rub = m_breakaway > 0.0 ? Rub::stuck : Rub::free;
    const double reduced = m_sprung * vehicle.unsprung / (m_sprung + vehicle.unsprung);
    for (std::size_t end = 0; end < 2; ++end) {
        const double ratio = linkage.at(linkage.wheel_travel(end == 0 ? 0.0 : m_full_travel)).slope;
        m_metal_damping[end] = metal_damping_share * std::sqrt(metal_rate * reduced) / ratio;
    }
    m_by_travel.resize(m_coupled);
    m_by_speed.resize(m_coupled);
}

std::span<const double> RideEquations::unknowns(std::span<const double> y, std::size_t unit) const {
    return y.subspan(m_first[unit], m_dampers[unit].unknowns());
}
std::span<double> RideEquations::unknowns(std::span<double> y, std::size_t unit) const {
    return y.subspan(m_first[unit], m_dampers[unit].unknowns());
}

/// Builds up in `transfer_time` and stays.
double RideEquations::transfer(double t) const {
    return m_event.load_transfer * std::clamp(t / m_event.transfer_time, 0.0, 1.0);
}

/// Below the wheel, and its rate.
ValueSlope RideEquations::ground(double t) const {
    if (t != m_kept_ground.time || m_piece != m_kept_ground.piece) {
        const ValueSlope here = m_ground.at(m_piece, m_event.speed * t);
        m_kept_ground = {t, m_piece, {here.value, here.slope * m_event.speed}};
    }
    return m_kept_ground.at;
}

/// All but the forces of the dampers.
const RideEquations::State& RideEquations::vehicle_state(double t, std::span<const double> y) const {
    State& at = m_kept_vehicle.at;
    KeptVehicle& kept = m_kept_vehicle;
    const std::span<const double> now = y.first(vehicle_unknowns);
    if (kept.time == t && kept.piece == m_piece && kept.tyre == m_modes.tyre && kept.metal == m_modes.metal &&
        std::equal(now.begin(), now.end(), kept.y.begin()))
        return at;
    kept.time = std::numeric_limits<double>::quiet_NaN(); // there is none if what follows fails
    at = {};
    at.unit = m_linkage.at(y[0]);
    at.rod = {at.unit.travel, at.unit.slope * y[1]};
    at.ground = ground(t);
    at.deflection = at.ground.value - y[2];
    at.deflection_rate = at.ground.slope - y[3];
    const Tyre& tyre = m_vehicle.tyre;
    at.tyre_if_touching = tyre.rate * at.deflection + tyre.damping * at.deflection_rate;
    if (m_modes.tyre) at.tyre = at.tyre_if_touching;
    at.into = {-at.rod.travel, at.rod.travel - m_full_travel};
    at.into_rate = {-at.rod.speed, at.rod.speed};
    for (std::size_t end = 0; end < 2; ++end) {
        if (!m_modes.metal[end]) continue;
        const double outwards = end == 0 ? -1.0 : 1.0;
        at.metal += outwards * (metal_rate * at.into[end] + m_metal_damping[end] * at.into_rate[end]);
        at.metal_by_travel += metal_rate;
        at.metal_by_speed += m_metal_damping[end];
    }
    for (const RideUnit& unit : m_units) {
        const damper::SpringPoint point = unit.support.springs(at.rod.travel);
        at.springs.force += point.force;
        at.springs.slope += point.slope;
        at.springs.energy += point.energy;
    }
    at.transfer = transfer(t);
    kept.time = t;
    kept.piece = m_piece;
    kept.tyre = m_modes.tyre;
    kept.metal = m_modes.metal;
    std::copy(now.begin(), now.end(), kept.y.begin());
    return at;
}

/// The friction, and what follows from all forces.
void RideEquations::add_forces(State& at) const {
    const double others = at.dampers + at.springs.force + at.metal;
    const double held = (at.tyre * m_sprung + at.transfer * m_vehicle.unsprung) * m_per_mass; // as one
    at.needed = held / at.unit.slope - others;
    switch (m_modes.rub) {
    case Rub::free:
        break;
    case Rub::stuck:
        at.friction = at.needed;
        break;
    case Rub::in:
        at.friction = m_friction;
        break;
    case Rub::out:
        at.friction = -m_friction;
        break;
    }
    at.force = others + at.friction;
    const double on_masses = at.unit.slope * at.force;
    at.sprung = (on_masses - at.transfer) * m_per_sprung - standard_gravity;
    at.unsprung = (at.tyre - on_masses) * m_per_unsprung - standard_gravity;
}

RideEquations::State RideEquations::state(double t, std::span<const double> y) {
    State at = vehicle_state(t, y);
    for (std::size_t i = 0; i < m_dampers.size(); ++i)
        at.dampers += m_units[i].support.legs() * m_dampers[i].force(at.rod, unknowns(y, i));
    add_forces(at);
    return at;
}

void RideEquations::rates(double t, std::span<const double> y, std::span<double> rates) {
    State at = vehicle_state(t, y);
    for (std::size_t i = 0; i < m_dampers.size(); ++i) {
        const std::span<double> energy =
            rates.subspan(m_first_energy + i * MovingDamper::energies, MovingDamper::energies);
        at.dampers += m_units[i].support.legs() *
                      m_dampers[i].rates(at.rod, unknowns(y, i), unknowns(rates, i), energy);
    }
    add_forces(at);
    const bool held = m_modes.rub == Rub::stuck;
    rates[0] = held ? 0.0 : y[1];
    rates[1] = held ? 0.0 : at.unsprung - at.sprung;
    rates[2] = y[3];
    rates[3] = at.unsprung;
    const std::span<double> q = rates.subspan(m_first_quadrature);
    q[0] = at.dampers * at.rod.speed;
    q[1] = at.sprung * at.sprung;
    q[2] = (at.tyre - m_static_load) * (at.tyre - m_static_load);
    q[3] = at.rod.travel;
}

void RideEquations::jacobian(double t, std::span<const double> y, Columns j) {
    const State at = state(t, y);
    const bool held = m_modes.rub == Rub::stuck;
    const double m_u = m_vehicle.unsprung;
    const double slope = at.unit.slope;
    const double speed_by_w = at.unit.curvature * y[1]; // of the rod
    std::fill(m_by_travel.begin(), m_by_travel.end(), 0.0);
    std::fill(m_by_speed.begin(), m_by_speed.end(), 0.0);
    double by_travel = at.springs.slope + at.metal_by_travel; // of the force outwards
    double by_speed = at.metal_by_speed;
    // ∂ẅ/∂F and ∂z̈_u/∂F
    const double on_travel = held ? 0.0 : -slope * (1.0 / m_u + 1.0 / m_sprung);
    const double on_wheel = held ? 0.0 : -slope / m_u;
    for (std::size_t i = 0; i < m_dampers.size(); ++i) {
        const std::size_t first = m_first[i];
        const std::size_t count = m_dampers[i].unknowns();
        const std::span<double> columns_x = std::span(m_by_travel).subspan(first, count);
        const std::span<double> columns_v = std::span(m_by_speed).subspan(first, count);
        m_dampers[i].jacobian(at.rod, unknowns(y, i), Block(j, first, columns_x, columns_v));
        for (std::size_t row = 0; row < count; ++row) {
            j(first + row, 0) += columns_x[row] * slope + columns_v[row] * speed_by_w;
            if (!held) j(first + row, 1) += columns_v[row] * slope;
        }
        const ForceSlopes force = m_dampers[i].force_slopes(at.rod, unknowns(y, i));
        const double legs = m_units[i].support.legs();
        by_travel += legs * force.by_travel;
        by_speed += legs * force.by_speed;
        j(1, first) += on_travel * legs * force.by_excess_C;
        j(1, first + 1) += on_travel * legs * force.by_excess_R;
        j(3, first) += on_wheel * legs * force.by_excess_C;
        j(3, first + 1) += on_wheel * legs * force.by_excess_R;
        if (const std::optional<std::size_t> taken_in = m_dampers[i].taken_in_of()) {
            j(1, first + *taken_in) += on_travel * legs * force.by_intake;
            j(3, first + *taken_in) += on_wheel * legs * force.by_intake;
        }
    }
    j(2, 3) += 1.0;
    const double k = m_modes.tyre ? m_vehicle.tyre.rate : 0.0;
    const double c = m_modes.tyre ? m_vehicle.tyre.damping : 0.0;
    if (held) {
        j(3, 2) -= k / (m_sprung + m_u);
        j(3, 3) -= c / (m_sprung + m_u);
        return;
    }
    j(0, 1) += 1.0;
    j(1, 2) -= k / m_u;
    j(1, 3) -= c / m_u;
    j(3, 2) -= k / m_u;
    j(3, 3) -= c / m_u;
    const double by_w = by_travel * slope + by_speed * speed_by_w;
    const double turn = at.unit.curvature * at.force / slope; // of x' F, by ∂F/∂w
    j(1, 0) += on_travel * (by_w + turn);
    j(1, 1) += on_travel * by_speed * slope;
    j(3, 0) += on_wheel * (by_w + turn);
    j(3, 1) += on_wheel * by_speed * slope;
}

void RideEquations::watch(double t, std::span<const double> y, std::span<double> values) {
    const State at = state(t, y);
    constexpr double quiet = 1.0;
    values[0] = values[1] = quiet;
    switch (m_modes.rub) {
    case Rub::free:
        break;
    case Rub::stuck:
        values[0] = at.needed - m_breakaway;
        values[1] = -at.needed - m_breakaway;
        break;
    case Rub::in:
        values[0] = y[1] + creep;
        break;
    case Rub::out:
        values[1] = -y[1] + creep;
        break;
    }
    values[2] = m_modes.tyre ? at.tyre_if_touching
                             : std::min(m_vehicle.tyre.rate * at.deflection, at.tyre_if_touching);
    for (std::size_t end = 0; end < 2; ++end) {
        const double spring = metal_rate * at.into[end];
        const double force = spring + m_metal_damping[end] * at.into_rate[end];
        values[3 + end] = m_modes.metal[end] ? force : std::min(spring, force);
    }
    for (std::size_t k = 0; k < m_kinks.size(); ++k)
        values[first_kink_root + k] = at.rod.travel - m_kinks[k];
    for (std::size_t i = 0; i < m_dampers.size(); ++i)
        m_dampers[i].watch(t, at.rod, unknowns(y, i),
                           values.subspan(m_first_damper_root + m_first_root[i], m_dampers[i].roots()));
    if (values.data() != m_watched.data()) m_watched.assign(values.begin(), values.end());
    m_watched_at = t;
}

void RideEquations::directions(std::span<int> result) const {
    result[0] = result[1] = m_modes.rub == Rub::stuck ? 1 : -1;
    result[2] = m_modes.tyre ? -1 : 1;
    for (std::size_t end = 0; end < 2; ++end)
        result[3 + end] = m_modes.metal[end] ? -1 : 1;
    for (std::size_t k = 0; k < m_kinks.size(); ++k)
        result[first_kink_root + k] = 0;
    for (std::size_t i = 0; i < m_dampers.size(); ++i)
        m_dampers[i].directions(result.subspan(m_first_damper_root + m_first_root[i], m_dampers[i].roots()));
}

void RideEquations::set(const RideModes& modes) {
    m_modes = modes;
    for (std::size_t i = 0; i < m_dampers.size(); ++i)
        m_dampers[i].set(modes.dampers[i]);
    m_watched_at.reset();
    m_step.reset();
}

RideModes RideEquations::modes() const {
    RideModes modes = m_modes;
    modes.dampers.clear();
    for (const MovingDamper& damper : m_dampers)
        modes.dampers.push_back(damper.modes());
    return modes;
}

/// Friction, tyre and metal.
bool RideEquations::switch_vehicle(double t, std::span<double> y, std::span<const int> signs) {
    bool changed = false;
    const auto sign = [&](std::size_t slot) { return signs.empty() ? 0 : signs[slot]; };
    State at = state(t, y);
    const auto settle = [&] { // at rest: held, or pressed away
        const Rub before = m_modes.rub;
        m_modes.rub = at.needed > m_breakaway + no_force    ? Rub::in
                      : at.needed < -m_breakaway - no_force ? Rub::out
                                                            : Rub::stuck;
        if (m_modes.rub != before) {
            ++m_vehicle_switches[0];
            changed = true;
        }
    };
    switch (m_modes.rub) {
    case Rub::free:
        break;
    case Rub::stuck:
        if (sign(0) > 0 || sign(1) > 0) {
            m_modes.rub = sign(0) > 0 ? Rub::in : Rub::out;
            ++m_vehicle_switches[0];
            changed = true;
        } else {
            settle();
        }
        break;
    case Rub::in:
    case Rub::out: {
        const double ahead = m_modes.rub == Rub::in ? y[1] : -y[1];
        if (sign(m_modes.rub == Rub::in ? 0 : 1) < 0 || ahead < -no_speed) {
            y[1] = 0.0;
            at = state(t, y);
            settle();
        }
        break;
    }
    }
    const auto touch = [&](bool& pushes, double spring, double force, double rate, double into, int found,
                           std::size_t counter, double& relaxed) {
        const bool lets_go = pushes && (found < 0 || force < -no_force);
        const bool meets = !pushes && (found > 0 || std::min(spring, force) > no_force);
        if (!lets_go && !meets) return;
        // A spring that lets go still bent has lost what it held.
        relaxed += (lets_go ? 0.5 : -0.5) * rate * into * into;
        pushes = meets;
        ++m_vehicle_switches[counter];
        changed = true;
    };
    const double k = m_vehicle.tyre.rate;
    touch(m_modes.tyre, k * at.deflection, at.tyre_if_touching, k, at.deflection, sign(2), 1, m_tyre_relaxed);
    for (std::size_t end = 0; end < 2; ++end) {
        const double spring = metal_rate * at.into[end];
        const double force = spring + m_metal_damping[end] * at.into_rate[end];
        touch(m_modes.metal[end], spring, force, metal_rate, at.into[end], sign(3 + end), 2, m_metal_relaxed);
    }
    return changed;
}

/// Whether something of the vehicle has the wrong sign for what holds.
bool RideEquations::vehicle_out_of_place(double t, std::span<const double> y) {
    if (!m_watched_at || *m_watched_at != t || m_watched.size() != roots()) {
        m_watched.resize(roots());
        watch(t, y, m_watched);
    }
    const auto& g = m_watched;
    if (m_modes.rub == Rub::stuck ? std::max(g[0], g[1]) > no_force : std::min(g[0], g[1]) < -no_speed)
        return true;
    if (m_modes.tyre ? g[2] < -no_force : g[2] > no_force) return true;
    for (std::size_t end = 0; end < 2; ++end)
        if (m_modes.metal[end] ? g[3 + end] < -no_force : g[3 + end] > no_force) return true;
    return false;
}

bool RideEquations::switch_modes(double t, std::span<double> y, std::span<const int> signs) {
    bool changed = false;
    if (!signs.empty() || vehicle_out_of_place(t, y)) {
        m_watched_at.reset();
        changed = switch_vehicle(t, y, signs);
    }
    const State& at = vehicle_state(t, y);
    for (std::size_t i = 0; i < m_dampers.size(); ++i) {
        const std::span<const int> own =
            signs.empty() ? signs
                          : signs.subspan(m_first_damper_root + m_first_root[i], m_dampers[i].roots());
        changed = m_dampers[i].switch_modes(t, at.rod, unknowns(y, i), own) || changed;
    }
    if (changed) m_watched_at.reset();
    if (changed || !signs.empty()) m_step.reset();
    return changed;
}

std::vector<double> RideEquations::at_start() {
    const bool falls = m_event.kind == EventKind::landing;
    const auto pushed = [&](double travel) { // by springs and reservoirs at rest
        ValueSlope force;
        for (const RideUnit& each : m_units) {
            const damper::SupportPoint point = each.support.at(travel);
            force.value += point.force;
            force.slope += point.slope;
        }
        return force;
    };
    double travel = 0.0;
    if (!falls) {
        const double weight = m_sprung * standard_gravity;
        const damper::Position rest = damper::rest_under(m_linkage, m_full_travel, weight, pushed);
        travel = rest.travel;
        if (rest.at_end == damper::AtEnd::compressed)
            throw InputError(
                "support: the springs do not carry the load within the travel; see `valve support`");
        if (rest.at_end == damper::AtEnd::extended) // into the metal
            travel = -(pushed(0.0).value - weight / m_linkage.at(0.0).slope) / metal_rate;
    }
    const double w = m_linkage.wheel_travel(travel);
    std::vector<double> y(size(), 0.0);
    y[0] = w;
    y[2] = falls ? 0.0 : -m_static_load / m_vehicle.tyre.rate;
    if (falls) y[3] = -std::sqrt(2.0 * standard_gravity * m_event.height) * std::cos(m_event.slope);
    for (std::size_t i = 0; i < m_dampers.size(); ++i) {
        const std::vector<double> own = m_dampers[i].at_rest(std::clamp(travel, 0.0, m_full_travel));
        std::copy(own.begin(), own.end(), unknowns(std::span<double>(y), i).begin());
    }
    m_modes.tyre = true;
    m_modes.metal = {travel < 0.0, false};
    m_start_height = y[2] - w;
    return y;
}

bool RideEquations::has_moving_valves() const {
    return std::any_of(m_dampers.begin(), m_dampers.end(),
                       [](const MovingDamper& damper) { return damper.has_moving_valves(); });
}

std::vector<double> RideEquations::tolerances(const RideOptions& options) const {
    std::vector<double> result(size(), 0.0);
    result[wheel_travel] = result[wheel_height] = options.length_error;
    result[1] = result[3] = options.speed_error;
    for (std::size_t i = 0; i < m_dampers.size(); ++i) {
        constexpr double of_valves = 5e3; // [1/s]; with more, quick steps lose the tips of what rings
        const std::vector<double> own =
            m_dampers[i].tolerances(options.pressure_error, options.length_error, of_valves);
        std::copy(own.begin(), own.end(), result.begin() + static_cast<std::ptrdiff_t>(m_first[i]));
    }
    // A ride takes some ten thousand steps: a small share of what the ground brings in at a time. What a drop
    // brings in is lost in one stroke, in steps as short as over stones.
    constexpr double stone = 5.0; // [J]
    const double height = relief(m_event);
    const double brought =
        std::min({m_static_load * height, 0.5 * m_vehicle.tyre.rate * height * height, stone});
    for (std::size_t k = m_first_energy; k < m_first_quadrature + first_mean; ++k)
        result[k] = options.energy_error * brought;
    // Shares of what a hit may bring.
    const double g = standard_gravity;
    result[m_first_quadrature + first_mean] = 1e-5 * g * g * m_event.duration;
    result[m_first_quadrature + first_mean + 1] = 1e-5 * m_static_load * m_static_load * m_event.duration;
    result[m_first_quadrature + first_mean + 2] = 1e-5 * m_full_travel * m_event.duration;
    return result;
}

void RideEquations::tell(double t, std::span<const double> y, RideMoment& result) {
    const State at = state(t, y);
    result.time = t;
    result.distance = m_event.speed * t;
    result.travel = at.rod.travel;
    result.speed = at.rod.speed;
    result.wheel_travel = y[0];
    result.sprung = y[2] - y[0] - m_start_height;
    result.unsprung = y[2];
    result.ground = at.ground.value;
    result.wheel_load = at.tyre;
    result.acceleration = at.sprung;
    result.force = at.force;
    result.stuck = m_modes.rub == Rub::stuck;
    result.metal = m_modes.metal[0] || m_modes.metal[1];
    result.units.resize(m_dampers.size());
    for (std::size_t i = 0; i < m_dampers.size(); ++i)
        result.units[i] = m_dampers[i].moment(t, at.rod, unknowns(y, i));
}

double RideEquations::oil_fault(std::span<const double> y0, std::span<const double> y) const {
    double worst = 0.0;
    for (std::size_t i = 0; i < m_dampers.size(); ++i) {
        const std::span<const double> from = unknowns(y0, i);
        const std::span<const double> to = unknowns(y, i);
        const double change = (to[0] + to[1] + to[2]) - (from[0] + from[1] + from[2]);
        worst = std::max(worst, std::abs(change) / m_dampers[i].oil(to, m_linkage.at(y[0]).travel));
    }
    return worst;
}

} // namespace valve::motion::detail
