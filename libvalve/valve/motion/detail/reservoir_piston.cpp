#include <valve/core/detail/infinity.hpp>
#include <valve/motion/detail/snapshot.hpp>

#include <algorithm>
#include <cmath>

namespace valve::motion::detail {

/// C and S one chamber: both are filled with what gives, and the reservoir's piston or bladder bounds them.
void MovingDamper::fill_shared_chamber(std::span<const double> y, Snapshot& at) {
    const double displaced = m_model.rod_area() * at.rod.travel;
    const double volume = at.volume_C; // without S
    at.oil_C = volume + displaced + y[0];
    if (!(at.oil_C > 0.0)) throw SolveError("C has lost all its oil");
    if (m_modes.grip == Grip::stuck || has_mass()) {
        at.taken_in = has_mass() ? y[m_intake + 1] + displaced : m_modes.held;
        at.volume_C = volume + at.taken_in;
        if (!(at.volume_C > 0.0)) throw SolveError("the reservoir's piston has run into the damper's");
        at.mixture_C = m_mixture.at_expansion(at.volume_C / at.oil_C - 1.0, m_near_C);
        at.p_C = at.mixture_C.pressure;
        const double give = at.oil_C * at.mixture_C.slope;
        const double shrinks = has_mass() ? m_model.annulus_area() : m_model.piston_area();
        at.p_C_slope = -at.volume_C / (at.oil_C * give);
        at.p_C_by_travel = (m_model.annulus_area() * at.volume_C / at.oil_C - shrinks) / give;
        at.p_C_by_intake = 1.0 / give;
        fill_reservoir(at.taken_in, at);
        at.p_S_by_travel = at.stiffness * m_model.rod_area();
        if (!has_mass()) at.stiffness = 0.0; // it gives nothing
        return;
    }
    // V_C + V_S = m v(p_S(V_S)): rises in V_S on the left, falls on the right.
    const double friction = sliding_friction();
    double taken_in = m_near_S > 0.0 ? m_near_S : displaced;
    double low = -infinity;   // the reservoir stiffens at once at either end,
    double high = infinity;   // about which Newton's steps would go to and fro
    constexpr int most = 200; // three are usual
    constexpr double rounding = 1e-15;
    double out_of_reach = MovingReservoir::cushion; // to where the piston can be held
    for (int step = 0;; ++step) {
        fill_reservoir(taken_in, at);
        at.p_C = at.p_S0 + friction;
        // On its way out the piston comes to rest where friction would take all pressure: short of it C
        // runs empty, so that there is a root above, however near.
        if (!(at.p_C > 0.0)) {
            if (m_is_leg || step >= most) throw SolveError("the reservoir itself has no pressure left");
            low = taken_in;
            taken_in = std::isfinite(high) ? 0.5 * (low + high) : taken_in + out_of_reach;
            out_of_reach *= 2.0;
            continue;
        }
        at.mixture_C = m_mixture.at(at.p_C);
        const double excess = volume + taken_in - at.oil_C * (1.0 + at.mixture_C.expansion);
        (excess > 0.0 ? high : low) = taken_in;
        const double change = -excess / (1.0 - at.oil_C * at.mixture_C.slope * at.stiffness);
        const bool inside = taken_in + change > low && taken_in + change < high;
        const double middle = 0.5 * (low + high);
        // What the sum leaves in rounding may be more than a step should be: then no number lies between.
        const bool done = std::abs(change) <= rounding * (volume + std::abs(taken_in)) ||
                          (std::isfinite(middle) && !inside && !(middle > low && middle < high));
        taken_in = inside || done ? taken_in + change : middle;
        if (done) break;
        if (step >= most)
            throw SolveError("no oil volume found at which the reservoir has the pressure of C");
    }
    m_near_S = taken_in;
    at.taken_in = taken_in;
    at.volume_C = volume + taken_in;
    const double give = at.oil_C * at.mixture_C.slope; // dV/dp of the oil, not above zero
    at.p_C_slope = at.stiffness * (1.0 + at.mixture_C.expansion) / (1.0 - give * at.stiffness);
    const double by_leg = m_is_leg ? leg(at.rod.travel).slope : 0.0;
    at.p_C_by_travel =
        by_leg + at.stiffness *
                     (m_model.piston_area() - m_model.annulus_area() * (1.0 + at.mixture_C.expansion) +
                      give * by_leg) /
                     (1.0 - give * at.stiffness);
}

void MovingDamper::fill_reservoir(double taken_in, Snapshot& at) {
    at.p_S0 = m_is_leg ? leg(at.rod.travel).value : m_reservoir.pressure(at.rod.travel, taken_in);
    at.stiffness = m_is_leg ? 0.0 : m_reservoir.stiffness(taken_in, at.p_S0);
}

/// p_S of the leg's air, which follows the travel alone, and dp_S/dx [Pa/m].
const ValueSlope& MovingDamper::leg(double travel) {
    if (travel != m_leg_travel) {
        constexpr double step = 1e-6; // [m]
        const double pressure = m_reservoir.pressure(travel, 0.0);
        m_leg = {pressure, (m_reservoir.pressure(travel + step, 0.0) - pressure) / step};
        m_leg_travel = travel;
    }
    return m_leg;
}

/// F_f/A_s with the sign of the flow that slides the piston so [Pa].
double MovingDamper::friction_of(Grip grip) const {
    if (grip == Grip::in) return m_friction;
    return grip == Grip::out ? -m_friction : 0.0;
}

/// The base, with what holds the reservoir's piston.
void MovingDamper::pass_base(std::span<const double> y, Snapshot& at) {
    if (m_modes.grip == Grip::stuck) {
        pass_given(0.0, y, at);
        // Where nothing at all passes, any pressure within the friction will do; S then follows C. A stop
        // holds against any.
        const End end = piston_end(at.taken_in);
        const double most = end == End::full ? infinity : at.p_S0 + friction_of(Grip::in);
        const double least = end == End::empty ? -infinity : at.p_S0 + friction_of(Grip::out);
        at.p_S = std::clamp(at.p_C - at.base.drop, least, most);
        return;
    }
    if (has_mass()) {
        pass_given(y[m_intake], y, at);
        at.p_S = at.p_C - at.base.drop;
        return;
    }
    const double friction = sliding_friction();
    at.p_S = at.p_S0 + friction;
    pass(false, at.p_C - at.p_S0 - friction, y, at, at.base);
}

/// The base where the piston takes in `flow` [m³/s], whatever the drop: that at which it passes. Of a stuck
/// one that is zero but where a valve sweeps oil on its way. The hint counts, as it does where the piston
/// comes loose: a base that hardly passes anything would else see another drop there, and the piston stick
/// and slide in turn for ever.
void MovingDamper::pass_given(double flow, std::span<const double> y, Snapshot& at) {
    double drop = flow == 0.0 ? 0.0 : m_near_drop;
    pass(false, drop, y, at, at.base);
    if (at.base.flow != flow) {
        double low = -infinity;
        double high = infinity;
        constexpr int usual = 60; // where flows all but cancel some fifty are needed
        constexpr int most = 200;
        double last = infinity; // change of the drop
        for (int step = 0;; ++step) {
            const double net = at.base.flow + m_hint * drop - flow;
            if (net == 0.0) break;
            (net > 0.0 ? high : low) = drop;
            double next = drop - net / (at.base.slope + m_hint);
            const auto is_near = [&] { return std::abs(next - drop) <= 1e-12 * std::abs(next); };
            if (is_near()) break; // at a bound, too
            // Of flows that go with √Δp Newton's steps go to and fro about none, none of them shorter.
            const bool to_and_fro =
                step > usual || (flow != 0.0 && 2.0 * std::abs(next - drop) > std::abs(last));
            const bool enclosed = std::isfinite(low) && std::isfinite(high);
            if (!(next > low && next < high) || (to_and_fro && enclosed)) next = 0.5 * (low + high);
            if (is_near()) break;
            if (!std::isfinite(next) || step == most)
                throw SolveError("no pressure drop found at which the base passes what S takes in");
            last = next - drop;
            drop = next;
            pass(false, drop, y, at, at.base);
        }
        at.base.bleed_flow += m_hint * drop; // so that flows, and what they lose, sum to it
    }
    at.base.flow = flow;
    if (flow != 0.0) m_near_drop = drop;
}

/// Of a base without bleeds that is all but shut a piston with mass may take in less than what a step errs
/// by: it would stick and come loose in turn for ever. It waits until the base would pass this [m³/s]; where
/// bleeds pass as much either way at a drop that is nothing, it need not.
double MovingDamper::least_loose() const {
    constexpr double flow = 1e-8;
    constexpr double nothing = 100.0; // [Pa]
    const flow::Link& base = *m_model.base();
    const bool bleeds = base.bleed_flow(nothing).value >= flow && base.bleed_flow(-nothing).value <= -flow;
    return bleeds ? 0.0 : flow;
}

/// What the mass of the piston adds: I q' = p_S − p_S0 − f, q = A_s u what it takes in, I = m/A_s².
void MovingDamper::move_piston(std::span<const double> y, Snapshot& at) const {
    const bool moves = m_modes.grip != Grip::stuck;
    at.intake = moves ? y[m_intake] : 0.0;
    at.intake_rate = moves ? (at.p_S - at.p_S0 - sliding_friction()) / m_inertance : 0.0;
}

/// Its part of a Jacobian.
void MovingDamper::add_piston(Block j, const Snapshot& at) const {
    const bool moves = m_modes.grip != Grip::stuck;
    const std::size_t q = m_intake;
    const double by_pressure = moves ? 1.0 / m_inertance : 0.0;
    if (!m_has_base) {
        j.by_speed(q + 1) -= m_model.rod_area();
        if (!moves) return;
        j(q + 1, q) += 1.0;
        j(q, 0) += by_pressure * at.p_C_slope;
        j(q, q + 1) += by_pressure * (at.p_C_by_intake - at.stiffness);
        j.by_travel(q) += by_pressure * (at.p_C_by_travel - at.p_S_by_travel);
        return;
    }
    if (!moves) return;
    j(q, 0) += by_pressure * at.p_C_slope;
    j(q, 2) -= by_pressure * at.stiffness;
    j.by_travel(q) += by_pressure * (at.p_C_by_travel - at.p_S_by_travel);
    add_given_drop(j, q, -by_pressure, at);
}

/// Adds to row `row` `by_drop` times the slopes of the base's drop, at which it passes what is given.
void MovingDamper::add_given_drop(Block j, std::size_t row, double by_drop, const Snapshot& at) const {
    double by_net = by_drop / (at.base.slope + m_hint);
    if (has_mass() && m_modes.grip != Grip::stuck) j(row, m_intake) += by_net;
    for (const std::size_t place : {std::size_t{0}, std::size_t{1}}) {
        const Partials& flow = at.valves[place].port_flow;
        if (m_valves[place] && m_modes.seating[place] == Seating::open) {
            j(row, m_lift[place]) -= by_net * flow.by_lift;
            j(row, m_lift[place] + 1) -= by_net * flow.by_impulse;
        }
        if (m_valves[place] && flow_of(place)) j(row, *flow_of(place)) -= by_net * flow.by_flow;
        by_net = -by_net;
    }
}

/// Which end of its way a piston with mass is at, `volume` [m³] of oil being in S.
MovingDamper::End MovingDamper::piston_end(double volume) const {
    if (!has_mass()) return End::none;
    if (m_reservoir.rests() && volume <= at_end) return End::empty;
    return volume >= m_reservoir.room() - at_end ? End::full : End::none;
}

/// Stops the piston: it has turned, or met an end of its way.
void MovingDamper::stop_piston(double taken_in, std::span<double> y) {
    m_modes.grip = Grip::stuck;
    m_modes.held = taken_in;
    if (!has_mass()) return;
    m_piston_impact += 0.5 * m_inertance * y[m_intake] * y[m_intake];
    y[m_intake] = 0.0;
}

} // namespace valve::motion::detail
