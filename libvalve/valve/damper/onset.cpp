#include <valve/core/detail/infinity.hpp>
#include <valve/damper/onset.hpp>
#include <valve/damper/steady.hpp>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>
#include <utility>

namespace valve::damper {

namespace {

constexpr double tolerance = 1e-12; // of a speed, and in m/s

/// From the first movement by even ratios, then by even steps.
std::vector<double> scanned_speeds(double top_speed) {
    constexpr int steps = 200;
    constexpr double ratio = 2.0;
    const double step = top_speed / steps;
    std::vector<double> speeds;
    double slow = OnsetSearch::slowest;
    while (slow < step) {
        speeds.push_back(slow);
        slow *= ratio;
    }
    for (int i = 1; i <= steps; ++i)
        speeds.push_back(top_speed * i / steps);
    return speeds;
}

/// The speed between `low`, where `holds` is false, and `high`, where it is true, from which it is true.
template <class Holds>
double close_in_on(double low, double high, const Holds& holds) {
    while (high - low > tolerance * high + tolerance) {
        const double middle = 0.5 * (low + high);
        (holds(middle) ? high : low) = middle;
    }
    return high;
}

/// A speed between `low` and `high` at which `room` is below zero, looked for round a dip that lies between
/// them (golden section).
template <class Room>
std::optional<double> below_zero_in_dip(const Room& room, double low, double high) {
    constexpr int steps = 30; // narrows the dip to 1e-6 of the interval
    constexpr double golden = std::numbers::phi - 1.0;
    double left = high - golden * (high - low);
    double right = low + golden * (high - low);
    double at_left = room(left);
    double at_right = room(right);
    for (int step = 0; step < steps; ++step) {
        if (at_left < 0.0) return left;
        if (at_right < 0.0) return right;
        if (at_left < at_right) {
            high = right;
            right = left;
            at_right = at_left;
            left = high - golden * (high - low);
            at_left = room(left);
        } else {
            low = left;
            left = right;
            at_left = at_right;
            right = low + golden * (high - low);
            at_right = room(right);
        }
    }
    return std::nullopt;
}

bool base_holds(const NetworkState& state) {
    return !state.base || !state.base->beyond_curve;
}

bool piston_holds(const NetworkState& state) {
    return !state.piston.beyond_curve;
}

/// Whether the lift curves say what flows at `place`: its own, and in compression that of the other link too,
/// where that one decides the flow or whether R runs empty.
bool curves_hold(const NetworkState& state, Place place) {
    if (stroke_of(place) == Stroke::rebound)
        return at_piston(place) ? piston_holds(state) : base_holds(state);
    if (at_piston(place)) return piston_holds(state) && base_holds(state);
    return base_holds(state) && (!state.cavitated || piston_holds(state));
}

const flow::LinkState* link_at(const NetworkState& state, Place place) {
    if (at_piston(place)) return &state.piston;
    return state.base ? &*state.base : nullptr;
}

/// What is looked for: it holds where `room` is below zero, and is known where `is_known`.
template <class Room, class Known>
struct Sought {
    Room room;
    Known is_known;
};
template <class Room, class Known>
Sought(Room, Known) -> Sought<Room, Known>;

} // namespace

std::optional<double> Onset::from() const {
    if (kind == Kind::from_first_movement) return 0.0;
    if (kind == Kind::from_speed) return speed;
    return std::nullopt;
}

OnsetSearch::OnsetSearch(const Model& model, double travel, double top_speed)
    : m_model(model), m_travel(travel), m_top_speed(top_speed) {
    if (!(top_speed > 0.0) || !std::isfinite(top_speed))
        throw std::invalid_argument("OnsetSearch: the top speed must be positive");
}

NetworkState OnsetSearch::state(Stroke stroke, double speed) const {
    return network_state(m_model, stroke == Stroke::compression ? speed : -speed, m_travel);
}

OnsetSearch::Scan& OnsetSearch::scan(Stroke stroke) {
    std::optional<Scan>& kept = m_scans.at(static_cast<std::size_t>(stroke));
    if (kept) return *kept;
    Scan scan;
    scan.speeds = scanned_speeds(m_top_speed);
    scan.states.reserve(scan.speeds.size());
    return kept.emplace(std::move(scan));
}

bool OnsetSearch::reaches(Stroke stroke, std::size_t index) {
    Scan& scan = this->scan(stroke);
    try {
        while (scan.states.size() <= index && index < scan.speeds.size() && scan.error.empty())
            scan.states.push_back(state(stroke, scan.speeds[scan.states.size()]));
    } catch (const SolveError& error) {
        scan.error = error.what();
    }
    return index < scan.states.size();
}

template <class Condition>
Onset OnsetSearch::find(Stroke stroke, const Condition& sought) {
    const Scan& scan = this->scan(stroke);
    double reached = 0.0;
    try {
        return find_in(scan, stroke, sought, reached);
    } catch (const SolveError& error) { // between two speeds of the scan
        return {Onset::Kind::ended, reached, error.what()};
    }
}

/// `reached` follows the speeds up to which it does not hold.
template <class Condition>
Onset OnsetSearch::find_in(const Scan& scan, Stroke stroke, const Condition& sought, double& reached) {
    const auto room = [&](double speed) { return sought.room(state(stroke, speed)); };
    const auto holds = [&](double speed) { return room(speed) < 0.0; };
    const auto found = [&](double low, double high) {
        return Onset{Onset::Kind::from_speed, close_in_on(low, high, holds)};
    };
    std::vector<double> rooms;
    for (std::size_t i = 0; reaches(stroke, i); ++i) {
        const double before = i > 0 ? scan.speeds[i - 1] : 0.0;
        reached = before;
        if (!sought.is_known(scan.states[i])) {
            const std::string why = refusal(m_model, scan.states[i], m_travel);
            if (i == 0) return {Onset::Kind::ended, 0.0, why};
            const auto is_unknown = [&](double speed) { return !sought.is_known(state(stroke, speed)); };
            const double end = close_in_on(before, scan.speeds[i], is_unknown);
            const double last_known = std::max(before, end - tolerance * end - tolerance);
            if (last_known > before && holds(last_known)) return found(before, last_known);
            return {Onset::Kind::ended, end, why};
        }
        rooms.push_back(sought.room(scan.states[i]));
        const double here = rooms.back();
        if (i >= 2 && rooms[i - 1] < rooms[i - 2] && rooms[i - 1] <= here) {
            const double low = scan.speeds[i - 2];
            if (const std::optional<double> inside = below_zero_in_dip(room, low, scan.speeds[i]))
                return found(low, *inside);
        }
        if (here < 0.0)
            return i == 0 ? Onset{Onset::Kind::from_first_movement} : found(before, scan.speeds[i]);
    }
    if (!scan.error.empty())
        return {Onset::Kind::ended, scan.states.empty() ? 0.0 : scan.speeds[scan.states.size() - 1],
                scan.error};
    return {Onset::Kind::none, m_top_speed};
}

Onset OnsetSearch::voids(Chamber chamber) {
    const double p_cav = m_model.oil().cavitation_pressure;
    const auto room = [&](const NetworkState& state) {
        if (state.cavitated == chamber) return -1.0;
        return (chamber == Chamber::C ? state.pressure.C : state.pressure.R) - p_cav;
    };
    switch (chamber) {
    case Chamber::C:
        return find(Stroke::rebound, Sought{room, base_holds});
    case Chamber::R:
        return find(Stroke::compression, Sought{room, [](const NetworkState& state) {
                                                    return base_holds(state) && piston_holds(state);
                                                }});
    case Chamber::S:
        break;
    }
    return {Onset::Kind::none, m_top_speed};
}

Onset OnsetSearch::margin_below_zero() {
    const auto margin = [](const NetworkState& state) { return state.dp_base() - state.piston.dp; };
    const auto room = [&](const NetworkState& state) { return margin(state) + margin_trifle; };
    Onset lost = find(Stroke::compression, Sought{room, [](const NetworkState& state) {
                                                      return base_holds(state) && piston_holds(state);
                                                  }});
    if (lost.kind != Onset::Kind::from_speed) return lost;
    // Back to where it passed zero.
    const Scan& scan = this->scan(Stroke::compression);
    const auto holds = [&](double speed) { return margin(state(Stroke::compression, speed)) < 0.0; };
    for (std::size_t i = scan.states.size(); i-- > 0;)
        if (scan.speeds[i] < lost.speed && margin(scan.states[i]) >= 0.0)
            return {Onset::Kind::from_speed, close_in_on(scan.speeds[i], lost.speed, holds)};
    return {Onset::Kind::from_first_movement};
}

Onset OnsetSearch::ports_lead(Place place) {
    const auto room = [place](const NetworkState& state) {
        const flow::LinkState* link = link_at(state, place);
        return link && link->stack_flow != 0.0 ? link->curtain_loss - link->port_loss : infinity;
    };
    const auto is_known = [place](const NetworkState& state) { return curves_hold(state, place); };
    return find(stroke_of(place), Sought{room, is_known});
}

Onset OnsetSearch::pressure_above(Place place, double pressure) {
    const auto room = [&](const NetworkState& state) {
        const flow::LinkState* link = link_at(state, place);
        return link ? pressure - link->p_eff : infinity;
    };
    const auto is_known = [place](const NetworkState& state) { return curves_hold(state, place); };
    return find(stroke_of(place), Sought{room, is_known});
}

std::optional<Onset> OnsetSearch::broken_off(Place place, double up_to) {
    const Stroke stroke = stroke_of(place);
    std::size_t i = 0;
    for (; reaches(stroke, i) && curves_hold(scan(stroke).states[i], place); ++i)
        if (scan(stroke).speeds[i] >= up_to) return std::nullopt;
    if (i == scan(stroke).speeds.size()) return std::nullopt;
    const Onset end = pressure_above(place, infinity);
    return end.speed <= up_to ? std::optional(end) : std::nullopt;
}

Onset OnsetSearch::cup_empty(Stroke end) {
    const EndCupLaw* cup = m_model.end_cup(end);
    if (!cup || cup->leaves_freely()) return {Onset::Kind::none, m_top_speed};
    const double depth = m_model.end_depth(end, m_travel);
    const double p_cav = m_model.oil().cavitation_pressure;
    const auto room = [&](const NetworkState& state) {
        constexpr double beyond = 1e5; // of a void, so that a zero is passed [Pa]
        const bool inwards = end == Stroke::compression;
        const double headroom = (inwards ? state.pressure.C : state.pressure.R) - p_cav;
        if (!(headroom > 0.0)) return infinity; // the whole chamber is a void, which is told of it
        return headroom - cup->suction(depth, std::abs(state.speed), headroom + beyond);
    };
    const auto is_known = [](const NetworkState& state) { return base_holds(state) && piston_holds(state); };
    return find(end == Stroke::compression ? Stroke::rebound : Stroke::compression, Sought{room, is_known});
}

Onset OnsetSearch::cup_reynolds_above(Stroke end, double limit) {
    const EndCupLaw* cup = m_model.end_cup(end);
    if (!cup) return {Onset::Kind::none, m_top_speed};
    const double depth = m_model.end_depth(end, m_travel);
    const auto room = [&](const NetworkState& state) {
        return limit -
               cup->reynolds(depth, cup->suction(depth, std::abs(state.speed), EndCupLaw::max_pressure));
    };
    return find(end, Sought{room, [](const NetworkState&) { return true; }});
}

double OnsetSearch::highest_pressure(Place place, double up_to) {
    double highest = 0.0;
    const Stroke stroke = stroke_of(place);
    for (std::size_t i = 0; reaches(stroke, i); ++i) {
        const Scan& scan = this->scan(stroke);
        if (const flow::LinkState* link = link_at(scan.states[i], place))
            highest = std::max(highest, link->p_eff);
        if (scan.speeds[i] >= up_to) break;
    }
    return highest;
}

Onset OnsetSearch::beyond_curve(Place place) {
    const auto room = [place](const NetworkState& state) {
        const flow::LinkState* link = link_at(state, place);
        return link && link->beyond_curve ? -1.0 : 1.0;
    };
    const auto is_known = [place](const NetworkState& state) {
        const bool other_holds = at_piston(place) ? base_holds(state) : piston_holds(state);
        return stroke_of(place) == Stroke::rebound || other_holds || !state.cavitated;
    };
    return find(stroke_of(place), Sought{room, is_known});
}

} // namespace valve::damper
