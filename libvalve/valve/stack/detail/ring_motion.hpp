#pragma once

#include <valve/stack/detail/ring_law.hpp>
#include <valve/stack/detail/ring_path.hpp>
#include <valve/stack/motion.hpp>

#include <map>
#include <optional>
#include <vector>

namespace valve::stack {

/// How a stack that is not round moves along its flow law, interval by interval, as far up as it is asked.
class RingMotion {
public:
    /// Both must outlive this; `law` is of `path`.
    RingMotion(RingPath& path, RingLaw& law) : m_path(path), m_law(law) {}

    /// Points of the interval that begins at `pressure` [Pa], the beginning of the law or one of its next()
    /// ones; both ends included. As many as keep p_stat, by cubics through them with their slopes, as near to
    /// the law as `accuracy`. Empty where the law has ended. The lift is the mean over the arcs of the ports
    /// or round the ring.
    std::vector<MotionPoint> from(double pressure, bool over_ports);

    /// Of the lift, and that height [m].
    static constexpr double accuracy = 1e-5;
    static constexpr double resolution = 1e-9;

private:
    /// Mass and area at a point, slopes left out.
    struct Side {
        double metal = 0.0;
        double oil = 0.0;
        double area = 0.0;
    };

    const std::optional<RingRates>& rates(double pressure);
    LiftLaw::Value law_at(double pressure, bool over_ports);
    void divide(double low, double high, bool over_ports, int depth, std::vector<MotionPoint>& points);

    RingPath& m_path;
    RingLaw& m_law;
    std::map<double, std::optional<RingRates>> m_rates; ///< by pressure
};

} // namespace valve::stack
