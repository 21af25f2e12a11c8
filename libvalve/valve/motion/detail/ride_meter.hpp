#pragma once

#include <valve/motion/detail/turns.hpp>
#include <valve/motion/ride.hpp>

#include <algorithm>
#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

namespace valve::motion::detail {

/// Where the lift of a valve turns, stroke by stroke of the rod.
class LiftTurns {
public:
    void add(double lift) {
        const bool rises = lift > m_last;
        if (lift != m_last && rises != m_rises) {
            m_turns.push_back(m_last);
            m_rises = rises;
        }
        m_last = lift;
    }

    void end_stroke() {
        m_turns.push_back(m_last);
        m_ends.push_back(m_turns.size());
    }

    /// In the stroke that has the most.
    int most_swings(double least) const;

private:
    double m_last = 0.0;
    bool m_rises = true;
    std::vector<double> m_turns; // and the last lift of each stroke [m]
    std::vector<std::size_t> m_ends;
};

/// Turns of what a unit is known by.
struct UnitTurns {
    Turns p_C;
    Turns p_R;
    Turns void_C;
    Turns void_R;
    Turns force;
};

/// Extremes, means and shares of a ride, moment by moment.
class RideMeter {
public:
    RideMeter(std::span<const RideUnit> units, double full_travel, double static_load);

    /// From here on means, shares and the acceleration count.
    void begin_counting() { m_counts = true; }

    /// The next end of a step, or what comes after a jump at one.
    void add(const RideMoment& now);

    /// The wheel meets a bump of a row at this travel [m].
    void meet_bump(double travel) { m_metrics.start_travels.push_back(travel); }

    /// At the speed of the unit [m/s].
    void meet_stop(double speed) { raise(m_metrics.closing_speed, speed); }
    void meet_metal(bool extended, double speed) {
        raise(extended ? m_metrics.extension_speed : m_metrics.metal_speed, speed);
    }

    /// Once, at the end, of `counted` seconds.
    RideMetrics finish(double counted);

private:
    /// What of the step lies near the level, ground and acceleration going straight in it.
    void add_small(const RideMoment& before, const RideMoment& now);
    static void add_force(UnitInRide& own, const Moment& unit);
    /// What lies between two steps.
    void add_turns(std::size_t number, double time, const Moment& unit);
    void end_stroke();
    static void raise(std::optional<double>& most, double value) {
        most = std::max(most.value_or(value), value);
    }

    double m_static_load;
    RideMetrics m_metrics;
    std::vector<std::array<LiftTurns, 4>> m_lifts; // of the valves of each unit
    std::vector<UnitTurns> m_turns;                // likewise
    std::optional<RideMoment> m_before;
    bool m_counts = false;
    Turns m_travel;
    Turns m_speed;
    Turns m_acceleration;
    double m_stuck = 0.0; // [s]
    double m_off = 0.0;
    double m_low = 0.0;
    double m_small_time = 0.0;
    double m_small = 0.0; // [m²/s³]
};

} // namespace valve::motion::detail
