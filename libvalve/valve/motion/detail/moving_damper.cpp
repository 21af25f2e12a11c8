#include <valve/core/constants.hpp>
#include <valve/damper/geometry.hpp>
#include <valve/motion/detail/snapshot.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace valve::motion::detail {

namespace {

using damper::all_places;
using damper::Place;

constexpr double air_exponent_in_time = 1.4;
constexpr std::array<std::array<std::size_t, 2>, 2> ends_of{{{2, 3}, {0, 1}}}; // places in piston and base

} // namespace

MovingDamper::MovingDamper(const damper::Model& model, const MovingValves& valves, damper::RodInto rod_into)
    : m_model(model), m_valves(valves.at_place), m_rod_into(rod_into),
      m_mixture(model.oil(), air_exponent_in_time), m_has_base(model.base() != nullptr),
      m_is_leg(model.setup().reservoir.kind == damper::ReservoirKind::leg), m_reservoir(model),
      m_friction(model.reservoir().friction_pressure()), m_kept(std::make_unique<Kept>()) {
    require_all_or_none(valves, model.setup());
    for (std::size_t place = 0; place < m_valves.size(); ++place) {
        if (!m_valves[place]) continue;
        m_lift[place] = m_unknowns;
        m_moving.push_back(place);
        m_unknowns += 2;
        if (m_valves[place]->inertance() > 0.0) m_flow[place] = m_unknowns++;
    }
    const damper::Reservoir& reservoir = model.setup().reservoir;
    if (damper::has_piston(reservoir.kind) && reservoir.mass > 0.0) {
        const double area = damper::circle_area(reservoir.diameter);
        m_inertance = reservoir.mass / (area * area);
        m_intake = m_unknowns;
        m_unknowns += m_has_base ? 1 : 2;
    }
    m_hint = has_mass() ? flow_hint_of_mass : flow_hint;
    if (has_mass() && m_has_base) m_least_loose = least_loose();
    m_filled = 1.0 + m_mixture.at(model.oil().cavitation_pressure).expansion;
    m_modes.grip = m_friction > 0.0 ? Grip::stuck : Grip::free;
}

MovingDamper::MovingDamper(MovingDamper&& other) noexcept = default;
MovingDamper::~MovingDamper() = default;

void MovingDamper::set(const Modes& modes) {
    m_modes = modes;
    m_watched_at.reset();
}

std::vector<double> MovingDamper::at_rest(double travel) {
    m_modes.held = m_model.rod_area() * travel;
    const double p_S = m_reservoir.pressure(travel, m_modes.held);
    return filled(travel, p_S, p_S);
}

std::vector<double> MovingDamper::filled(double travel, double p_C, double p_R) const {
    const damper::ByChamber space = m_model.network().volumes(travel);
    std::vector<double> y(m_unknowns, 0.0);
    // m/ρ = V/(1 + e), so that u = −V e/(1 + e).
    const auto excess = [&](double volume, double pressure) {
        const double expansion = m_mixture.at(pressure).expansion;
        return -volume * expansion / (1.0 + expansion);
    };
    y[0] = excess(m_has_base ? space.C : space.C + space.S, p_C);
    y[1] = excess(space.R, p_R);
    return y;
}

std::vector<std::size_t> MovingDamper::lifts() const {
    std::vector<std::size_t> result;
    for (const std::size_t place : m_moving)
        result.push_back(m_lift[place]);
    return result;
}

std::vector<double> MovingDamper::tolerances(double pressure, double lift, double angular) const {
    const damper::Cartridge& cartridge = m_model.setup().cartridge;
    const double compliance = pressure / m_model.oil().bulk_modulus;
    std::vector<double> tolerances(m_unknowns, 0.0);
    tolerances[0] = m_model.piston_area() * cartridge.dead_length_C * compliance;
    tolerances[1] = m_model.annulus_area() * cartridge.dead_length_R * compliance;
    tolerances[2] = tolerances[0];
    for (const std::size_t place : m_moving) {
        const Profile::Value at_seat = m_valves[place]->profile().at(0.0);
        tolerances[m_lift[place]] = lift;
        tolerances[m_lift[place] + 1] = lift * angular * std::sqrt(at_seat.mass);
        if (const auto flow = flow_of(place)) tolerances[*flow] = lift * angular * at_seat.area;
    }
    if (has_mass()) {
        constexpr double slower = 0.1; // than a valve swings
        tolerances[m_intake] =
            slower * lift * angular * damper::circle_area(m_model.setup().reservoir.diameter);
        if (!m_has_base) tolerances[m_intake + 1] = tolerances[0];
    }
    return tolerances;
}

/// C, R and S, the base between C and S.
void MovingDamper::fill_chambers(std::span<const double> y, Snapshot& at) {
    at.taken_in = y[2] + m_model.rod_area() * at.rod.travel;
    fill_reservoir(at.taken_in, at);
    at.oil_C = at.volume_C + y[0];
    if (!(at.oil_C > 0.0)) throw SolveError("C has lost all its oil");
    at.mixture_C = m_mixture.at_expansion(-y[0] / at.oil_C, m_near_C);
    at.p_C = at.mixture_C.pressure;
    const double softness = at.oil_C * at.oil_C * at.mixture_C.slope;
    at.p_C_slope = -at.volume_C / softness;
    at.p_C_by_travel = -m_model.piston_area() * y[0] / softness;
    at.p_S_by_travel = m_is_leg ? leg(at.rod.travel).slope : at.stiffness * m_model.rod_area();
}

/// The valves, bleeds and leak of one way at the pressure drop `drop`.
void MovingDamper::pass(bool piston, double drop, std::span<const double> y, Snapshot& at, Way& way) {
    way = {};
    way.drop = drop;
    const flow::Link& link = piston ? m_model.piston() : *m_model.base();
    if (m_moving.empty()) {
        const flow::LinkState state = link.at_drop(drop);
        way.flow = state.flow;
        way.slope = state.flow_slope;
        way.bleed_flow = state.bleed_flow + state.leak_flow;
        way.beyond = state.beyond_curve;
        const std::array<std::size_t, 2>& places = ends_of[piston ? 0 : 1];
        at.seen[places[0]] = at.seen[places[1]] = {};
        at.seen[places[drop < 0.0 ? 1 : 0]] = {state.lift, state.p_eff, std::abs(state.stack_flow),
                                               std::abs(state.stack_flow)};
        return;
    }
    const ValueSlope bleeds = link.bleed_flow(drop);
    way.flow = way.bleed_flow = bleeds.value;
    way.slope = bleeds.slope;
    double sign = 1.0;
    for (const std::size_t place : ends_of[piston ? 0 : 1]) {
        if (m_valves[place]) {
            const Seating seating = m_modes.seating[place];
            ValveMoment& seen = at.seen[place];
            if (seating == Seating::shut) {
                at.valves[place] = {};
                seen = {0.0, sign * drop, 0.0, 0.0};
            } else {
                const std::size_t i = m_lift[place];
                const MovingValve& valve = *m_valves[place];
                const double lift = seating == Seating::stopped ? *valve.profile().stop() : y[i];
                const double impulse = seating == Seating::stopped ? 0.0 : y[i + 1];
                const std::optional<std::size_t> flow = flow_of(place);
                const ValveMotion& motion = at.valves[place] =
                    flow ? valve.at_flow(sign * drop, lift, impulse, y[*flow])
                         : valve.at(sign * drop, lift, impulse, m_near_port[place]);
                way.flow += sign * motion.port_flow.value;
                way.slope += motion.port_flow.by_drop;
                // A disc at its stop, or a touch beyond it, has not left its curve.
                const Profile& profile = valve.profile();
                way.beyond = way.beyond || (!profile.stop() && lift > profile.end());
                seen = {lift, motion.p_eff.value, motion.port_flow.value, motion.curtain_flow};
            }
        }
        sign = -1.0;
    }
}

double MovingDamper::work_of_atmosphere(double stroke) const {
    return p_atm * m_model.piston_area() * stroke;
}

const MovingDamper::Snapshot& MovingDamper::evaluate(const RodMotion& rod, std::span<const double> y) {
    Kept& kept = *m_kept;
    if (rod == kept.at.rod && m_modes == kept.modes &&
        std::equal(y.begin(), y.end(), kept.y.begin(), kept.y.end()))
        return kept.at;
    kept.y.clear(); // there is none if what follows fails
    compute(rod, y, kept.at);
    kept.modes = m_modes;
    kept.y.assign(y.begin(), y.end());
    return kept.at;
}

void MovingDamper::compute(const RodMotion& rod, std::span<const double> y, Snapshot& at) {
    const damper::Cartridge& cartridge = m_model.setup().cartridge;
    at.rod = rod;
    at.volume_C = m_model.piston_area() * (cartridge.travel - at.rod.travel + cartridge.dead_length_C);
    at.volume_R = m_model.annulus_area() * (at.rod.travel + cartridge.dead_length_R);
    if (!(at.volume_C > 0.0) || !(at.volume_R > 0.0))
        throw SolveError(fmt::format("{:.4g} mm of travel lie beyond the damper's {:.4g} mm",
                                     at.rod.travel * 1e3, cartridge.travel * 1e3));
    at.outside = m_model.external_pressure(at.rod.travel, m_rod_into);
    if (m_has_base)
        fill_chambers(y, at);
    else
        fill_shared_chamber(y, at);
    at.oil_R = at.volume_R + y[1];
    if (!(at.oil_R > 0.0)) throw SolveError("R has lost all its oil");
    at.mixture_R = m_mixture.at_expansion(-y[1] / at.oil_R, m_near_R);
    at.p_R = at.mixture_R.pressure;
    const double softness = at.oil_R * at.oil_R * at.mixture_R.slope;
    at.p_R_slope = -at.volume_R / softness;
    at.p_R_by_travel = m_model.annulus_area() * y[1] / softness;
    if (!(at.p_C > 0.0) || !(at.p_R > 0.0))
        throw SolveError("oil without air cannot make room: give oil.free_air, as oil in use has it");
    pass(true, at.p_C - at.p_R, y, at, at.piston);
    if (m_has_base) {
        pass_base(y, at);
        at.intake = at.base.flow;
        if (has_mass()) move_piston(y, at);
        return;
    }
    at.p_S = at.p_C;
    at.intake = 0.0;
    if (has_mass()) return move_piston(y, at);
    if (m_modes.grip == Grip::stuck) return;
    // V̇_C + V̇_S = ṁ v + m v' ṗ; the leg's pressure follows the travel alone.
    const double by_travel = m_is_leg ? leg(at.rod.travel).slope : 0.0;
    at.intake = (m_model.piston_area() * at.rod.speed - at.piston.flow * (1.0 + at.mixture_C.expansion) +
                 at.oil_C * at.mixture_C.slope * by_travel * at.rod.speed) /
                (1.0 - at.oil_C * at.mixture_C.slope * at.stiffness);
}

double MovingDamper::rates(const RodMotion& rod, std::span<const double> y, std::span<double> rates,
                           std::span<double> energy) {
    const Snapshot& at = evaluate(rod, y);
    const double v = at.rod.speed;
    if (m_has_base) {
        rates[0] = m_model.piston_area() * v - at.piston.flow - at.base.flow;
        rates[2] = at.base.flow - m_model.rod_area() * v;
    } else {
        rates[0] = m_model.annulus_area() * v - at.piston.flow;
        rates[2] = 0.0;
    }
    rates[1] = at.piston.flow - m_model.annulus_area() * v;
    if (has_mass()) {
        rates[m_intake] = at.intake_rate;
        if (!m_has_base) rates[m_intake + 1] = at.intake - m_model.rod_area() * v;
    }

    double plates = 0.0;
    for (const std::size_t place : m_moving) {
        const Seating seating = m_modes.seating[place];
        const bool open = seating == Seating::open;
        const ValveMotion& motion = at.valves[place];
        rates[m_lift[place]] = open ? motion.lift_rate.value : 0.0;
        rates[m_lift[place] + 1] = open ? motion.impulse_rate.value : 0.0;
        if (const auto flow = flow_of(place)) rates[*flow] = motion.flow_rate.value; // none of what is shut
        if (seating != Seating::shut) plates += motion.work_rate;
    }

    const double h_C = at.mixture_C.enthalpy;
    const double over_piston = h_C - at.mixture_R.enthalpy;
    const double over_base = m_has_base ? h_C - (at.p_S - p_atm) : 0.0;
    energy[0] = (m_model.piston_area() * at.p_C - m_model.annulus_area() * at.p_R) * v;
    const double friction = has_mass() ? sliding_friction() : at.p_S - at.p_S0;
    // Else it follows from the state, with all that steps err in V_S: a sum would not.
    energy[1] = m_is_leg ? (m_has_base ? at.p_S0 - p_atm : at.p_S0) * at.intake : 0.0;
    energy[2] = at.seen[0].port_flow * over_base;
    energy[3] = -at.seen[1].port_flow * over_base;
    energy[4] = at.seen[2].port_flow * over_piston;
    energy[5] = -at.seen[3].port_flow * over_piston;
    energy[6] = at.piston.bleed_flow * over_piston;
    energy[7] = m_has_base ? at.base.bleed_flow * over_base : 0.0;
    energy[8] = plates;
    const double end = end_force(at, v, at.rod.travel);
    energy[9] = end * v;
    energy[10] = friction * at.intake;
    return force(at, end);
}

double MovingDamper::force(const RodMotion& rod, std::span<const double> y) {
    const Snapshot& at = evaluate(rod, y);
    return force(at, end_force(at, rod.speed, rod.travel));
}

/// Adds ∂(sign × flow of one way)/∂y, and by the travel, to row `row`.
void MovingDamper::add_way(Block j, bool piston, double sign, std::size_t row, const Snapshot& at) const {
    const Way& way = piston ? at.piston : at.base;
    if (!piston && has_mass() && m_modes.grip != Grip::stuck) j(row, m_intake) += sign;
    if (piston || !passes_given()) {
        j(row, 0) += sign * way.slope * at.p_C_slope;
        if (piston)
            j(row, 1) -= sign * way.slope * at.p_R_slope;
        else
            j(row, 2) -= sign * way.slope * at.stiffness;
        if (!m_has_base && has_mass()) j(row, m_intake + 1) += sign * way.slope * at.p_C_by_intake;
        j.by_travel(row) +=
            sign * way.slope * (at.p_C_by_travel - (piston ? at.p_R_by_travel : at.p_S_by_travel));
        double side = 1.0;
        for (const std::size_t place : ends_of[piston ? 0 : 1]) {
            const Partials& flow = at.valves[place].port_flow;
            if (m_valves[place] && m_modes.seating[place] == Seating::open) {
                const std::size_t column = m_lift[place];
                j(row, column) += sign * side * flow.by_lift;
                j(row, column + 1) += sign * side * flow.by_impulse;
            }
            if (m_valves[place] && flow_of(place)) j(row, *flow_of(place)) += sign * side * flow.by_flow;
            side = -1.0;
        }
    }
}

void MovingDamper::jacobian(const RodMotion& rod, std::span<const double> y, Block j) {
    const Snapshot& at = evaluate(rod, y);
    add_way(j, true, -1.0, 0, at);
    add_way(j, true, 1.0, 1, at);
    j.by_speed(1) -= m_model.annulus_area();
    if (m_has_base) {
        add_way(j, false, -1.0, 0, at);
        add_way(j, false, 1.0, 2, at);
        j.by_speed(0) += m_model.piston_area();
        j.by_speed(2) -= m_model.rod_area();
    } else {
        j.by_speed(0) += m_model.annulus_area();
    }
    if (has_mass()) add_piston(j, at);
    for (const std::size_t place : m_moving) {
        const Seating seating = m_modes.seating[place];
        if (seating == Seating::shut) continue;
        const ValveMotion& motion = at.valves[place];
        const std::size_t lift = m_lift[place];
        const std::size_t impulse = lift + 1;
        if (seating == Seating::open) {
            j(lift, lift) += motion.lift_rate.by_lift;
            j(lift, impulse) += motion.lift_rate.by_impulse;
            add_valve(j, place, impulse, motion.impulse_rate, at);
        }
        if (const auto flow = flow_of(place)) add_valve(j, place, *flow, motion.flow_rate, at);
    }
}

/// Adds to row `row` the slopes of `rate`, of the valve at `place`.
void MovingDamper::add_valve(Block j, std::size_t place, std::size_t row, const Partials& rate,
                             const Snapshot& at) const {
    const bool moves = m_modes.seating[place] == Seating::open;
    const std::size_t lift = m_lift[place];
    if (moves) {
        j(row, lift) += rate.by_lift;
        j(row, lift + 1) += rate.by_impulse;
    }
    if (const auto flow = flow_of(place)) j(row, *flow) += rate.by_flow;
    const double side = place % 2 == 0 ? 1.0 : -1.0;
    const double by_drop = side * rate.by_drop; // of the way's drop
    if (place >= 2) {
        j(row, 0) += by_drop * at.p_C_slope;
        j(row, 1) -= by_drop * at.p_R_slope;
        if (!m_has_base && has_mass()) j(row, m_intake + 1) += by_drop * at.p_C_by_intake;
        j.by_travel(row) += by_drop * (at.p_C_by_travel - at.p_R_by_travel);
    } else if (!passes_given()) {
        j(row, 0) += by_drop * at.p_C_slope;
        j(row, 2) -= by_drop * at.stiffness;
        j.by_travel(row) += by_drop * (at.p_C_by_travel - at.p_S_by_travel);
    } else { // that drop moves with both valves
        add_given_drop(j, row, by_drop, at);
    }
}

/// F = A_p p_C − A_a p_R − A_r p_ext, and that of the cups.
double MovingDamper::force(const Snapshot& at, double end) const {
    return m_model.piston_area() * at.p_C - m_model.annulus_area() * at.p_R -
           m_model.rod_area() * at.outside + end;
}

ForceSlopes MovingDamper::force_slopes(const RodMotion& rod, std::span<const double> y) {
    const Snapshot& at = evaluate(rod, y);
    ForceSlopes result;
    result.by_excess_C = m_model.piston_area() * at.p_C_slope;
    result.by_excess_R = -m_model.annulus_area() * at.p_R_slope;
    if (has_mass() && !m_has_base) result.by_intake = m_model.piston_area() * at.p_C_by_intake;
    // What the rod leaves into and the cups have no slopes of their own: differences.
    constexpr double step = 1e-7; // [m], [m/s]
    const auto outside = [&](double travel) {
        return m_model.rod_area() * m_model.external_pressure(travel, m_rod_into);
    };
    const double end = end_force(at, rod.speed, rod.travel);
    result.by_travel = m_model.piston_area() * at.p_C_by_travel - m_model.annulus_area() * at.p_R_by_travel +
                       (end_force(at, rod.speed, rod.travel + step) - end -
                        (outside(rod.travel + step) - m_model.rod_area() * at.outside)) /
                           step;
    result.by_speed = (end_force(at, rod.speed + step, rod.travel) - end) / step;
    return result;
}

/// Of the plugs in their cups, outwards on the rod, by the steady law.
double MovingDamper::end_force(const Snapshot& at, double speed, double travel) const {
    double sum = 0.0;
    for (const damper::Stroke stroke : {damper::Stroke::compression, damper::Stroke::rebound}) {
        const damper::EndCupLaw* cup = m_model.end_cup(stroke);
        if (!cup) continue;
        const double p = stroke == damper::Stroke::compression ? at.p_C : at.p_R;
        const double room = std::max(0.0, p - m_model.oil().cavitation_pressure);
        sum += cup->effect(stroke, speed, m_model.end_depth(stroke, travel), room).force;
    }
    return sum;
}

Moment MovingDamper::moment(double t, const RodMotion& rod, std::span<const double> y) {
    const Snapshot& at = evaluate(rod, y);
    Moment result;
    result.time = t;
    result.travel = at.rod.travel;
    result.speed = at.rod.speed;
    result.p_C = at.p_C;
    result.p_R = at.p_R;
    result.p_S = at.p_S;
    result.end_force = end_force(at, at.rod.speed, at.rod.travel);
    result.force = force(at, result.end_force);
    result.void_C = std::max(0.0, at.volume_C - at.oil_C * m_filled);
    result.void_R = std::max(0.0, at.volume_R - at.oil_R * m_filled);
    result.piston_flow = at.piston.flow;
    result.base_flow = m_has_base ? at.base.flow : at.intake;
    result.valves = at.seen;
    result.beyond_curve = at.piston.beyond || at.base.beyond;
    result.reservoir_full = m_reservoir.is_full(at.taken_in) || piston_end(at.taken_in) == End::full;
    return result;
}

Energies MovingDamper::energies_of(std::span<const double> e) const {
    return {e[0], e[1], {e[2], e[3], e[4], e[5]}, e[6], e[7], e[8], e[9], e[10] + m_piston_impact};
}

MovingDamper::Stored MovingDamper::stored(const RodMotion& rod, std::span<const double> y) {
    const Snapshot& at = evaluate(rod, y);
    Stored result;
    // m e = m (h − p v), of both chambers.
    result.oil = at.oil_C * at.mixture_C.enthalpy - at.p_C * at.volume_C + at.oil_R * at.mixture_R.enthalpy -
                 at.p_R * at.volume_R;
    for (const std::size_t place : m_moving) {
        const MovingValve& valve = *m_valves[place];
        const double impulse = y[m_lift[place] + 1];
        const double flow = flow_of(place) ? y[*flow_of(place)] : 0.0;
        result.plates += 0.5 * impulse * impulse + valve.profile().energy(y[m_lift[place]]) +
                         0.5 * valve.inertance() * flow * flow;
    }
    if (!m_is_leg)
        result.reservoir = m_reservoir.work(at.taken_in) - (m_has_base ? p_atm * at.taken_in : 0.0) +
                           0.5 * m_inertance * at.intake * at.intake;
    return result;
}

double MovingDamper::reservoir_volume(const RodMotion& rod, std::span<const double> y) {
    const Snapshot& at = evaluate(rod, y);
    return at.taken_in;
}

double MovingDamper::oil(std::span<const double> y, double travel) const {
    const damper::Cartridge& cartridge = m_model.setup().cartridge;
    return m_model.piston_area() * (cartridge.travel - travel + cartridge.dead_length_C) +
           m_model.annulus_area() * (travel + cartridge.dead_length_R) + m_model.rod_area() * travel +
           (y[0] + y[1] + y[2]);
}

} // namespace valve::motion::detail
