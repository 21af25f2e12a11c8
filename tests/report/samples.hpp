#pragma once

#include <valve/damper/steady.hpp>

/// Results made by hand, so that a view can be tested without a solver. The numbers are invented.
namespace valve::samples {

inline damper::SteadyPoint steady_point(double speed) {
    damper::SteadyPoint point;
    point.speed = speed;
    point.force = 100.0 * speed + 8.0;
    point.damping_force = 100.0 * speed;
    point.static_force = 8.0;
    point.p_C = 2.0e5;
    point.p_R = 1.5e5;
    point.p_S = 1.6e5;
    point.dp_base = 0.4e5;
    point.dp_piston = 0.5e5;
    if (speed < 0.0) point.refill_deficit = 0.4e5;
    if (speed > 0.0) {
        point.balance_margin = (2.45 - speed) * 1e5;
        point.share_base = 0.25;
    }
    point.headroom_C = 1.8e5;
    point.headroom_R = 1.3e5;
    point.reservoir_friction = 0.18e5;
    return point;
}

/// A curve on both strokes. The balance margin falls linearly and vanishes at 2.45 m/s.
inline damper::Curve steady_curve() {
    damper::Curve curve;
    curve.travel = 0.15;
    for (const double speed : {-3.0, -2.0, -1.0, -0.3, -0.1})
        curve.points.push_back(steady_point(speed));
    for (int i = 1; i <= 40; ++i)
        curve.points.push_back(steady_point(0.1 * i));
    return curve;
}

} // namespace valve::samples
