#include <valve/core/error.hpp>
#include <valve/flow/opening.hpp>
#include <valve/motion/moving_valve.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

namespace valve::motion {

namespace {

constexpr double thinnest_film = 5e-6; // [m]; roughness and tilt leave no thinner one
constexpr double thinnest_gap = 1e-10; // [m]; the area of less would vanish in rounding
// [m]; what oil passes that has to be sped up: faces are no smoother, and through less it would stop within
// nanoseconds
constexpr double thinnest_for_inertia = 1e-6;
constexpr double shortest_ports = 1e-4; // [m]; oil in shorter ones follows within any step

} // namespace

/// What a valve in motion is at one moment, before anything flows.
struct MovingValve::Sweep {
    Profile::Value profile;
    double r = 0.0; // 1/√m, and its slope along y
    double r_slope = 0.0;
    double rate = 0.0;     // ẏ [m/s]
    Partials displacement; // V̇ [m³/s]
};

MovingValve::MovingValve(const flow::Valve& valve, Profile profile, double load_area,
                         const flow::OilState& oil)
    : m_profile(std::move(profile)),
      m_ports(flow::opening(valve.ports), valve.discharge.port, valve.discharge.port_transition, oil),
      m_curtain(flow::curtain_gap(flow::curtain_length(valve), 1.0), valve.discharge.curtain,
                valve.discharge.curtain_transition, oil),
      m_friction(valve.shim_friction), m_restitution(valve.restitution) {
    const double port_area = flow::opening(valve.ports).area;
    m_jet = valve.jet_force * oil.density / (port_area * load_area);
    const double length = flow::port_length(valve);
    if (length >= shortest_ports) m_inertance = oil.density * length / port_area;
    const stack::Seat& seat = valve.stack.seat;
    const double width = seat.outer_radius - seat.inner_radius;
    m_film = std::numbers::pi * (seat.outer_radius + seat.inner_radius) * oil.dynamic_viscosity() * width *
             width * width;
}

MovingValve MovingValve::without_friction() const {
    MovingValve result = *this;
    result.m_friction = 0.0;
    return result;
}

/// c of the squeeze film [N s/m], and its slope along the lift.
ValueSlope MovingValve::film(double lift) const {
    const double height = std::max(lift, thinnest_film);
    const double c = m_film / (height * height * height);
    return {c, lift > thinnest_film ? -3.0 * c / height : 0.0};
}

/// f between the shims, and its slopes along the lift and its rate.
MovingValve::Friction MovingValve::friction(const Profile::Value& profile, double rate) const {
    const double speed = std::sqrt(rate * rate + creep * creep);
    const double full = m_friction * profile.area * profile.friction;
    const double full_slope =
        m_friction * (profile.area_slope * profile.friction + profile.area * profile.friction_slope);
    return {full * rate / speed, full_slope * rate / speed, full * creep * creep / (speed * speed * speed)};
}

/// Where the flow of the ports is that of the curtain and `sweep` together.
MovingValve::Shared MovingValve::share(double dp, double sweep, const flow::Restriction& curtain,
                                       double guess) const {
    constexpr double near = 1e-8;      // a step so short leaves its square
    constexpr double rounding = 1e-15; // of what is left where flows nearly cancel
    const double scale = std::abs(dp);
    // The flow of the ports less the curtain's rises with the drop: Newton's steps from near by need no
    // bounds.
    constexpr int few = 6;
    double drop = guess;
    for (int step = 0; step < few; ++step) {
        ValueSlope port = m_ports.flow(drop);
        ValueSlope under = curtain.flow(dp - drop);
        const double change = (sweep + under.value - port.value) / (port.slope + under.slope);
        drop += change;
        if (std::abs(change) <= near * std::min(std::abs(drop), std::abs(dp - drop))) {
            port.value += port.slope * change;
            under.value -= under.slope * change;
            return {drop, port, under};
        }
    }

    const double of_sweep = sweep == 0.0 ? 0.0 : m_ports.pressure(sweep).value;
    double low = std::min(of_sweep, dp);  // at one end the curtain passes nothing,
    double high = std::max(of_sweep, dp); // at the other the ports pass the sweep alone
    if (low == high) return {low, m_ports.flow(low), curtain.flow(dp - low)};
    // The losses of turbulent passages share Δp as the inverse squares of their flows; begin there.
    const double port = std::abs(m_ports.flow(dp - of_sweep).value);
    const double gap = std::abs(curtain.flow(dp - of_sweep).value);
    const double squares = gap * gap + port * port; // none of what all but stands still
    drop = squares > 0.0 ? of_sweep + (dp - of_sweep) * gap * gap / squares : of_sweep;
    double last = high - low;
    constexpr int most = 400; // bisection alone needs fewer
    for (int step = 0; step < most; ++step) {
        const ValueSlope through_ports = m_ports.flow(drop);
        const ValueSlope through_curtain = curtain.flow(dp - drop);
        const double excess = through_ports.value - sweep - through_curtain.value;
        if (excess == 0.0) return {drop, through_ports, through_curtain};
        (excess < 0.0 ? low : high) = drop;
        double change = -excess / (through_ports.slope + through_curtain.slope);
        if (drop + change <= low || drop + change >= high || 2.0 * std::abs(change) > std::abs(last))
            change = 0.5 * (low + high) - drop;
        drop += change;
        last = change;
        if (std::abs(change) <= rounding * (std::abs(drop) + scale))
            return {drop, m_ports.flow(drop), curtain.flow(dp - drop)};
    }
    throw SolveError(fmt::format("no loss of its ports found at a pressure drop of {:.4g} bar", dp / 1e5));
}

ValveMotion MovingValve::at(double dp, double y, double impulse) const {
    PortDrop near;
    return at(dp, y, impulse, near);
}

MovingValve::Sweep MovingValve::sweep(double y, double impulse) const {
    Sweep result;
    result.profile = m_profile.at(y);
    const Profile::Value& profile = result.profile;
    result.r = 1.0 / std::sqrt(profile.mass);
    result.r_slope = -0.5 * profile.mass_slope * result.r / profile.mass;
    result.rate = impulse * result.r;
    result.displacement.value = profile.area * result.rate;
    result.displacement.by_lift = impulse * (profile.area_slope * result.r + profile.area * result.r_slope);
    result.displacement.by_impulse = profile.area * result.r;
    return result;
}

ValveMotion MovingValve::at(double dp, double y, double impulse, PortDrop& near) const {
    const Sweep sweep = this->sweep(y, impulse);
    const Partials& swept = sweep.displacement;
    const double guess = near.drop.value + near.drop.by_drop * (dp - near.dp) +
                         near.drop.by_lift * (y - near.lift) +
                         near.drop.by_impulse * (impulse - near.impulse);
    const auto [drop, port, under] = share(dp, swept.value, curtain(std::max(y, thinnest_gap)), guess);
    // The curtain's flow depends on lift and √p_f only by their product.
    const double under_by_lift = y > thinnest_gap ? 2.0 * (dp - drop) * under.slope / y : 0.0;
    const double stiffness = port.slope + under.slope;
    Partials of_ports{drop, under.slope / stiffness, (under_by_lift + swept.by_lift) / stiffness,
                      swept.by_impulse / stiffness};
    near = {dp, y, impulse, of_ports};
    return moved(sweep, y, impulse,
                 {port.value, port.slope * of_ports.by_drop, port.slope * of_ports.by_lift,
                  port.slope * of_ports.by_impulse},
                 {dp - drop, 1.0 - of_ports.by_drop, -of_ports.by_lift, -of_ports.by_impulse});
}

ValveMotion MovingValve::at_flow(double dp, double y, double impulse, double flow) const {
    const Sweep sweep = this->sweep(y, impulse);
    const Partials& swept = sweep.displacement;
    const ValueSlope port = m_ports.pressure(flow);
    const ValueSlope under = curtain(std::max(y, thinnest_for_inertia)).pressure(flow - swept.value);
    // As above: at one flow p_f goes with 1/y².
    const double under_by_lift = y > thinnest_for_inertia ? -2.0 * under.value / y : 0.0;
    const Partials over_curtain{under.value, 0.0, under_by_lift - under.slope * swept.by_lift,
                                -under.slope * swept.by_impulse, under.slope};
    ValveMotion result = moved(sweep, y, impulse, {flow, 0.0, 0.0, 0.0, 1.0}, over_curtain);
    const double left = dp - port.value - under.value; // to speed up the oil
    const double per_pressure = 1.0 / m_inertance;
    result.flow_rate = {left * per_pressure, per_pressure, -over_curtain.by_lift * per_pressure,
                        -over_curtain.by_impulse * per_pressure,
                        -(port.slope + over_curtain.by_flow) * per_pressure};
    result.work_rate += flow * left;
    return result;
}

double MovingValve::swept(double y, double impulse) const {
    return sweep(y, impulse).displacement.value;
}

bool MovingValve::rests(const ValveMotion& motion, double impulse) {
    // v²/2a, with v = ẏ and a = −η̇ ẏ/η.
    const double slowing = -motion.impulse_rate.value * impulse;
    return 0.5 * std::abs(motion.lift_rate.value) * impulse * impulse < least_rebound * slowing;
}

double MovingValve::opening_flow(double dp) const {
    return curtain(thinnest_for_inertia).flow(dp).value;
}

ValveMotion MovingValve::moved(const Sweep& sweep, double y, double impulse, const Partials& port_flow,
                               const Partials& over_curtain) const {
    const auto& [profile, r, r_slope, rate, swept] = sweep;
    ValveMotion result;
    result.port_flow = port_flow;
    result.curtain_flow = port_flow.value - swept.value;
    const double jet_flow = std::max(port_flow.value, 0.0);
    const double jet_slope = 2.0 * m_jet * jet_flow;
    result.p_eff = {over_curtain.value + m_jet * jet_flow * jet_flow,
                    over_curtain.by_drop + jet_slope * port_flow.by_drop,
                    over_curtain.by_lift + jet_slope * port_flow.by_lift,
                    over_curtain.by_impulse + jet_slope * port_flow.by_impulse,
                    over_curtain.by_flow + jet_slope * port_flow.by_flow};

    const ValueSlope film = this->film(y);
    const Friction friction = this->friction(profile, rate);
    const double loss = film.value * rate + friction.value;
    const double excess = result.p_eff.value - profile.pressure;
    result.force = profile.area * excess - loss;
    result.work_rate = (profile.area * result.p_eff.value - loss) * rate;
    result.lift_rate = {rate, 0.0, impulse * r_slope, r};
    const double force_by_lift =
        profile.area_slope * excess + profile.area * (result.p_eff.by_lift - profile.pressure_slope) -
        film.slope * rate - friction.by_lift - (film.value + friction.by_rate) * impulse * r_slope;
    result.impulse_rate = {result.force * r, profile.area * result.p_eff.by_drop * r,
                           force_by_lift * r + result.force * r_slope,
                           (profile.area * result.p_eff.by_impulse - (film.value + friction.by_rate) * r) * r,
                           profile.area * result.p_eff.by_flow * r};
    return result;
}

} // namespace valve::motion
