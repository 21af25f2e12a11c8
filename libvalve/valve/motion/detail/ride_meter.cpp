#include <valve/motion/detail/ride_meter.hpp>
#include <valve/motion/swings.hpp>

#include <cmath>
#include <utility>

namespace valve::motion::detail {

namespace {

constexpr double small_bump = 10e-3; // [m]
constexpr double low_load = 0.2;     // of F_0

/// Time below `limit` of what goes straight from `from` to `to` in `width`.
double time_below(double limit, double from, double to, double width) {
    if (from < limit && to < limit) return width;
    if (from >= limit && to >= limit) return 0.0;
    const double share = (limit - from) / (to - from);
    return width * (from < limit ? share : 1.0 - share);
}

/// The part of a step, as shares of it, in which what goes straight from `from` to `to` stays within
/// ±`limit`.
struct Part {
    double begin = 0.0;
    double end = 0.0;
};

Part part_within(double limit, double from, double to) {
    if (from == to) return std::abs(from) < limit ? Part{0.0, 1.0} : Part{};
    const double a = (-limit - from) / (to - from);
    const double b = (limit - from) / (to - from);
    return {std::clamp(std::min(a, b), 0.0, 1.0), std::clamp(std::max(a, b), 0.0, 1.0)};
}

} // namespace

int LiftTurns::most_swings(double least) const {
    int most = 0;
    std::size_t i = 0;
    for (const std::size_t end : m_ends) {
        SwingCount count(least);
        for (; i < end; ++i)
            count.add(m_turns[i]);
        most = std::max(most, count.count());
    }
    return most;
}

RideMeter::RideMeter(std::span<const RideUnit> units, double full_travel, double static_load)
    : m_static_load(static_load) {
    m_metrics.full_travel = full_travel;
    for (const RideUnit& unit : units) {
        UnitInRide& own = m_metrics.units.emplace_back();
        own.legs = unit.support.legs();
        m_lifts.emplace_back();
        m_turns.emplace_back();
        for (const damper::Place place : damper::all_places)
            if (unit.model.setup().valves[place]) own.valves.push_back(place);
        const damper::ByChamber space =
            unit.model.network().volumes(0.5 * unit.model.setup().cartridge.travel);
        own.oil_mass = unit.model.oil().density * (space.C + space.R);
    }
}

void RideMeter::add(const RideMoment& now) {
    RideMetrics& m = m_metrics;
    if (!m_before) m.start_travel = m.peak_travel = now.travel;
    m.peak_travel = std::max(m.peak_travel, now.travel);
    m.peak_speed_compression = std::max(m.peak_speed_compression, now.speed);
    m.peak_speed_rebound = std::max(m.peak_speed_rebound, -now.speed);
    if (const std::optional<Turns::Vertex> travel = m_travel.add(now.time, now.travel))
        m.peak_travel = std::max(m.peak_travel, travel->value);
    if (const std::optional<Turns::Vertex> speed = m_speed.add(now.time, now.speed)) {
        m.peak_speed_compression = std::max(m.peak_speed_compression, speed->value);
        m.peak_speed_rebound = std::max(m.peak_speed_rebound, -speed->value);
    }
    if (m_before && (now.speed > 0.0) != (m_before->speed > 0.0)) end_stroke();
    for (std::size_t i = 0; i < now.units.size(); ++i) {
        UnitInRide& own = m.units[i];
        const Moment& unit = now.units[i];
        for (std::size_t place = 0; place < own.largest_lift.size(); ++place) {
            own.largest_lift[place] = std::max(own.largest_lift[place], unit.valves[place].lift);
            m_lifts[i][place].add(unit.valves[place].lift);
        }
        own.add(unit);
        own.rod.emplace_back(unit);
        add_force(own, unit);
        add_turns(i, now.time, unit);
    }
    if (m_counts) {
        m.peak_acceleration = std::max(m.peak_acceleration, std::abs(now.acceleration));
        if (const std::optional<Turns::Vertex> crest = m_acceleration.add(now.time, now.acceleration))
            m.peak_acceleration = std::max(m.peak_acceleration, std::abs(crest->value));
        if (m_before && now.time > m_before->time) {
            const double width = now.time - m_before->time;
            if (m_before->stuck) m_stuck += width;
            if (m_before->wheel_load == 0.0 && now.wheel_load == 0.0) m_off += width;
            m_low += time_below(low_load * m_static_load, m_before->wheel_load, now.wheel_load, width);
            add_small(*m_before, now);
        }
    }
    m_before = now;
}

RideMetrics RideMeter::finish(double counted) {
    RideMetrics& m = m_metrics;
    if (m_before) m.residual_travel = m_before->travel;
    end_stroke();
    for (std::size_t i = 0; i < m.units.size(); ++i)
        for (std::size_t place = 0; place < m_lifts[i].size(); ++place)
            m.units[i].swings[place] =
                m_lifts[i][place].most_swings(swing_share * m.units[i].largest_lift[place]);
    if (counted > 0.0) {
        m.stuck_share = m_stuck / counted;
        m.off_ground_share = m_off / counted;
        m.low_load_share = m_low / counted;
    }
    if (m_small_time > 0.0) m.small_bumps = std::sqrt(m_small / m_small_time);
    return std::move(m_metrics);
}

void RideMeter::add_small(const RideMoment& before, const RideMoment& now) {
    const Part near = part_within(small_bump, before.ground, now.ground);
    const auto at = [&](double share) {
        return before.acceleration + share * (now.acceleration - before.acceleration);
    };
    const double a = at(near.begin);
    const double b = at(near.end);
    const double time = (near.end - near.begin) * (now.time - before.time);
    m_small_time += time;
    m_small += time * (a * a + a * b + b * b) / 3.0;
}

void RideMeter::add_force(UnitInRide& own, const Moment& unit) {
    if (unit.speed > 0.0 && unit.force > (own.hardest_compression ? own.hardest_compression->force : 0.0))
        own.hardest_compression = unit;
    if (unit.speed < 0.0 && unit.force < (own.hardest_rebound ? own.hardest_rebound->force : 0.0))
        own.hardest_rebound = unit;
}

void RideMeter::add_turns(std::size_t number, double time, const Moment& unit) {
    UnitInRide& own = m_metrics.units[number];
    UnitTurns& turns = m_turns[number];
    if (const std::optional<Turns::Vertex> p_C = turns.p_C.add(time, unit.p_C)) {
        own.lowest_p_C = std::min(own.lowest_p_C, std::max(p_C->value, 0.0));
        own.highest_p_C = std::max(own.highest_p_C, p_C->value);
    }
    if (const std::optional<Turns::Vertex> p_R = turns.p_R.add(time, unit.p_R)) {
        own.lowest_p_R = std::min(own.lowest_p_R, std::max(p_R->value, 0.0));
        own.highest_p_R = std::max(own.highest_p_R, p_R->value);
    }
    if (const std::optional<Turns::Vertex> void_C = turns.void_C.add(time, unit.void_C))
        own.largest_void_C = std::max(own.largest_void_C, void_C->value);
    if (const std::optional<Turns::Vertex> void_R = turns.void_R.add(time, unit.void_R))
        own.largest_void_R = std::max(own.largest_void_R, void_R->value);
    if (const std::optional<Turns::Vertex> force = turns.force.add(time, unit.force); force && m_before) {
        Moment tip = m_before->units[number];
        tip.force = force->value;
        add_force(own, tip);
    }
}

void RideMeter::end_stroke() {
    for (std::array<LiftTurns, 4>& unit : m_lifts)
        for (LiftTurns& valve : unit)
            valve.end_stroke();
}

} // namespace valve::motion::detail
