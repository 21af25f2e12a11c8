#include <valve/motion/detail/snapshot.hpp>

#include <algorithm>
#include <cmath>

namespace valve::motion::detail {

namespace {

/// A valve touches its seat, or its stop, this far beyond it, so that rounding about zero is no touch [m].
constexpr double touch = 1e-10;
constexpr double touch_of_piston = 1e-13; // likewise of a reservoir's, at its ends [m³]

// Beyond these a watched function has the wrong sign and has not just been found to change it.
constexpr double no_flow = 1e-13;    // [m³/s]
constexpr double no_pressure = 1e-3; // [Pa]
constexpr double no_lift = 1e-11;    // [m]
constexpr double no_volume = 1e-14;  // [m³]
constexpr double no_force = 1e-9;    // [N]

// A sliding piston sticks at this flow backwards and not at none [m³/s]: just after it has stuck, or come
// loose, its flow may turn in less than any step, and it would do both in turn for ever. Bleeds alone need no
// more than what they pass at a drop of [Pa]; a base that passes nothing tells by the drop alone.
constexpr double lag = 1e-9;
constexpr double turning = 100.0;
// With mass it comes loose ever faster, and sticks as soon as it turns.
constexpr double lag_of_mass = 1e-11;

} // namespace

/// Positive where the reservoir's piston would move in (or out), were it let.
double MovingDamper::watch_reservoir(std::span<const double> y, const Snapshot& at, bool in) {
    const double sign = in ? 1.0 : -1.0;
    constexpr double held = -1.0;
    const bool stuck = m_modes.grip == Grip::stuck;
    if (stuck && piston_end(at.taken_in) == (in ? End::full : End::empty)) return held;
    const double drop = at.p_C - at.p_S0 - friction_of(in ? Grip::in : Grip::out);
    if (!stuck && !has_mass()) {
        if (!m_has_base) return sign * at.intake;
        const bool open = std::any_of(m_moving.begin(), m_moving.end(), [&](std::size_t place) {
            return place < 2 && m_modes.seating[place] != Seating::shut;
        });
        return sign * (at.base.flow + m_hint * drop) + (open ? lag : std::min(lag, turning * at.base.slope));
    }
    if (!stuck) return sign * at.intake + lag_of_mass;
    if (!m_has_base) return sign * drop;
    Snapshot moved = at;
    pass(false, drop, y, moved, moved.base);
    return sign * (moved.base.flow + m_hint * drop) - m_least_loose;
}

void MovingDamper::watch(double t, const RodMotion& rod, std::span<const double> y,
                         std::span<double> values) {
    const Snapshot& at = evaluate(rod, y);
    const Grip grip = m_modes.grip;
    constexpr double quiet = 1.0;
    values[0] = grip == Grip::stuck || grip == Grip::in ? watch_reservoir(y, at, true) : quiet;
    values[1] = grip == Grip::stuck || grip == Grip::out ? watch_reservoir(y, at, false) : quiet;
    if (has_mass()) watch_ends(at, values.last(2));
    for (std::size_t i = 0; i < m_moving.size(); ++i) {
        const std::size_t place = m_moving[i];
        const Profile& profile = m_valves[place]->profile();
        double& leaves = values[2 + 2 * i];
        double& arrives = values[3 + 2 * i];
        arrives = quiet;
        switch (m_modes.seating[place]) {
        case Seating::shut:
            leaves = at.seen[place].p_eff - profile.crack_pressure();
            break;
        case Seating::open:
            leaves = y[m_lift[place]] + touch;
            if (profile.stop()) arrives = y[m_lift[place]] - *profile.stop() - touch;
            break;
        case Seating::stopped:
            leaves = at.valves[place].force;
            break;
        }
    }
    if (values.data() != m_watched.data()) m_watched.assign(values.begin(), values.end());
    m_watched_at = t;
}

void MovingDamper::directions(std::span<int> result) const {
    const int loosens = m_modes.grip == Grip::stuck ? 1 : -1;
    result[0] = result[1] = loosens;
    for (std::size_t i = 0; i < m_moving.size(); ++i) {
        result[2 + 2 * i] = m_modes.seating[m_moving[i]] == Seating::shut ? 1 : -1;
        result[3 + 2 * i] = 1;
    }
    if (has_mass()) std::fill(result.end() - 2, result.end(), -1);
}

/// `passed`, `reached`: sign changes of the valve's two functions.
bool MovingDamper::switch_valve(std::size_t index, const RodMotion& rod, std::span<double> y, int passed,
                                int reached) {
    const std::size_t place = m_moving[index];
    const Profile& profile = m_valves[place]->profile();
    double& lift = y[m_lift[place]];
    double& impulse = y[m_lift[place] + 1];
    const Snapshot& at = evaluate(rod, y);
    Seating& seating = m_modes.seating[place];
    const auto open = [&](double drop) {
        seating = Seating::open;
        lift = impulse = 0.0;
        set_flow(place, m_valves[place]->opening_flow(drop), y);
    };
    const auto arrive = [&](double where, Seating then) {
        lift = where;
        if (rebounds(place, then, rod, y)) return;
        lose(place, 0.5 * impulse * impulse);
        impulse = 0.0;
        seating = then;
        if (then == Seating::shut) set_flow(place, 0.0, y);
        const Snapshot& after = evaluate(rod, y);
        // It may be pressed away again at once, from rest.
        if (then == Seating::shut && after.seen[place].p_eff > profile.crack_pressure() + no_pressure)
            open(after.seen[place].p_eff);
        if (then == Seating::stopped && after.valves[place].force < -no_force) seating = Seating::open;
    };
    switch (seating) {
    case Seating::shut:
        if (passed <= 0 && !(at.seen[place].p_eff > profile.crack_pressure() + no_pressure)) return false;
        open(at.seen[place].p_eff);
        break;
    case Seating::open:
        if (passed < 0 || lift < -touch - no_lift) {
            if (impulse > 0.0) return false; // on its way up from the seat
            arrive(0.0, Seating::shut);
        } else if (profile.stop() && (reached > 0 || lift > *profile.stop() + touch + no_lift)) {
            arrive(*profile.stop(), Seating::stopped);
        } else {
            return false;
        }
        break;
    case Seating::stopped:
        if (passed >= 0 && !(at.valves[place].force < -no_force)) return false;
        seating = Seating::open;
        break;
    }
    ++m_switches[place];
    return true;
}

/// Sends the valve at `place` back from its seat or its stop, where it is; false: it rests there. The oil in
/// its ports, which has followed it to the seat, turns with it: under a rising plate a gap passes nothing
/// that could make up for it.
bool MovingDamper::rebounds(std::size_t place, Seating there, const RodMotion& rod, std::span<double> y) {
    const MovingValve& valve = *m_valves[place];
    double& impulse = y[m_lift[place] + 1];
    const double met = impulse;
    const double left = -valve.restitution() * met;
    if (left == 0.0) return false;
    impulse = left;
    if (there == Seating::shut) {
        const Snapshot& at = evaluate(rod, y);
        const double drop = (place < 2 ? at.base : at.piston).drop;
        set_flow(place, valve.swept(0.0, left) + valve.opening_flow(place % 2 == 0 ? drop : -drop), y);
    }
    if (MovingValve::rests(evaluate(rod, y).valves[place], left)) {
        impulse = met;
        return false;
    }
    lose(place, 0.5 * (met * met - left * left));
    return true;
}

/// Counts what is lost as the valve at `place` meets its seat or stop [J].
void MovingDamper::lose(std::size_t place, double energy) {
    m_impact += energy;
    m_impacts[place] += energy;
}

/// Changes what the ports at `place` pass, if its oil has inertia; what that takes of its motion is
/// lost, and what it gains as a valve opens is a loss below zero.
void MovingDamper::set_flow(std::size_t place, double flow, std::span<double> y) {
    if (!flow_of(place)) return;
    double& now = y[*flow_of(place)];
    lose(place, 0.5 * m_valves[place]->inertance() * (now * now - flow * flow));
    now = flow;
}

/// Lets go a piston that is stuck; behind a base one with mass begins with what it has waited for.
void MovingDamper::let_go(bool in, std::span<double> y) {
    if (has_mass() && m_has_base) y[m_intake] = in ? m_least_loose : -m_least_loose;
    m_modes.grip = m_friction == 0.0 ? Grip::free : in ? Grip::in : Grip::out;
}

/// What is left of the way of a piston with mass, while it moves: until S is empty, until it is full.
void MovingDamper::watch_ends(const Snapshot& at, std::span<double> values) const {
    constexpr double quiet = 1.0;
    const bool moves = m_modes.grip != Grip::stuck;
    values[0] = moves && m_reservoir.rests() ? at.taken_in + touch_of_piston : quiet;
    values[1] = moves && std::isfinite(m_reservoir.room())
                    ? m_reservoir.room() + touch_of_piston - at.taken_in
                    : quiet;
}

/// Whether a piston with mass meets an end of its way; `ends`: sign changes of the two functions above.
bool MovingDamper::meets_end(const Snapshot& at, std::span<const int> ends) const {
    if (!has_mass() || m_modes.grip == Grip::stuck) return false;
    std::array<double, 2> left{};
    watch_ends(at, left);
    const auto met = [&](std::size_t end) {
        return (!ends.empty() && ends[end] < 0) || left.at(end) < -no_volume;
    };
    return (at.intake < 0.0 && met(0)) || (at.intake > 0.0 && met(1));
}

bool MovingDamper::switch_reservoir(const RodMotion& rod, std::span<double> y) {
    if (m_modes.grip == Grip::free) return false;
    const Snapshot& at = evaluate(rod, y);
    const double least = m_has_base || m_modes.grip != Grip::stuck ? no_flow : no_pressure;
    const Grip before = m_modes.grip;
    if (before == Grip::stuck) {
        if (watch_reservoir(y, at, true) > least)
            let_go(true, y);
        else if (watch_reservoir(y, at, false) > least)
            let_go(false, y);
    } else if (watch_reservoir(y, at, before == Grip::in) < -least) {
        stop_piston(at.taken_in, y);
    }
    if (m_modes.grip != before && !m_has_base) m_near_S = at.taken_in;
    return m_modes.grip != before;
}

/// Whether a function watched has the wrong sign for what holds, as when it begins at zero and so has no
/// change of sign to find.
bool MovingDamper::out_of_place(double t, const RodMotion& rod, std::span<const double> y) {
    if (!m_watched_at || *m_watched_at != t || m_watched.size() != roots()) {
        m_watched.resize(roots());
        watch(t, rod, y, m_watched);
    }
    const double least = m_has_base || m_modes.grip != Grip::stuck ? no_flow : no_pressure;
    if (m_modes.grip == Grip::stuck && std::max(m_watched[0], m_watched[1]) > least) return true;
    if (has_mass() && meets_end(evaluate(rod, y), {})) return true;
    if ((m_modes.grip == Grip::in && m_watched[0] < -least) ||
        (m_modes.grip == Grip::out && m_watched[1] < -least))
        return true;
    for (std::size_t i = 0; i < m_moving.size(); ++i) {
        const double leaves = m_watched[2 + 2 * i];
        switch (m_modes.seating[m_moving[i]]) {
        case Seating::shut:
            if (leaves > no_pressure) return true;
            break;
        case Seating::open:
            if (leaves < -no_lift ||
                (m_valves[m_moving[i]]->profile().stop() && m_watched[3 + 2 * i] > no_lift))
                return true;
            break;
        case Seating::stopped:
            if (leaves < -no_force) return true;
            break;
        }
    }
    return false;
}

bool MovingDamper::switch_modes(double t, const RodMotion& rod, std::span<double> y,
                                std::span<const int> signs) {
    if (signs.empty() && !out_of_place(t, rod, y)) return false;
    m_watched_at.reset();
    bool changed = false;
    const auto sign = [&](std::size_t slot) { return signs.empty() ? 0 : signs[slot]; };
    const Grip before = m_modes.grip;
    if ((before == Grip::stuck && (sign(0) > 0 || sign(1) > 0)) || (before == Grip::in && sign(0) < 0) ||
        (before == Grip::out && sign(1) < 0)) {
        if (before == Grip::stuck)
            let_go(sign(0) > 0, y);
        else
            stop_piston(evaluate(rod, y).taken_in, y);
        changed = true;
    }
    if (has_mass() && meets_end(evaluate(rod, y), signs.empty() ? signs : signs.last(2))) {
        stop_piston(evaluate(rod, y).taken_in, y);
        changed = true;
    }
    for (std::size_t i = 0; i < m_moving.size(); ++i)
        changed = switch_valve(i, rod, y, sign(2 + 2 * i), sign(3 + 2 * i)) || changed;
    // What a valve swept no longer passes may let the reservoir's piston go, or hold it.
    constexpr int most = 4;
    for (int pass = 0; pass < most && switch_reservoir(rod, y); ++pass)
        changed = true;
    return changed;
}

} // namespace valve::motion::detail
