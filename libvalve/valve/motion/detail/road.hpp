#pragma once

#include <valve/core/root.hpp>

#include <cstddef>
#include <span>
#include <stop_token>
#include <vector>

namespace valve::motion::detail {

/// Ground that is given by points: cubics between them, level before the first and after the last.
class Road {
public:
    /// Straight lines between points (distances rising, two or more) [m].
    Road(std::span<const double> distances, std::span<const double> heights);

    /// Through heights every `spacing` from `from` on (five or more) the cubics whose slopes and bends pass
    /// on without a jump: a spline, at its ends as steep as the polynomial of order 4 through five points
    /// [m].
    Road(double from, double spacing, std::span<const double> heights);

    /// Height and slope; at a point those of what follows.
    ValueSlope at(double s) const;

    struct Point {
        double s = 0.0;
        double height = 0.0;
        double slope_before = 0.0; ///< of what ends here
        double slope_after = 0.0;
    };
    std::span<const Point> points() const { return m_points; }

private:
    std::vector<Point> m_points;
};

/// Height, slope and its change along the cubic between two points, at s [m, -, 1/m].
struct Bend {
    double value = 0.0;
    double slope = 0.0;
    double bend = 0.0;
};
Bend between(const Road::Point& left, const Road::Point& right, double s);

/// The height of a rigid wheel's lowest point over a road,
///   z_e(s) = max over |u| ≤ R of [z_r(s + u) + √(R² − u²)] − R,
/// in pieces, between which its slope jumps since contact does. Within a piece z_e and its slope are exact at
/// `s`; cubics go between.
struct Rolled {
    std::vector<std::size_t> first; ///< of each piece, in `s`; then the size of `s`
    std::vector<double> s;          ///< rising; ends of a piece and begins of the next are equal [m]
    std::vector<ValueSlope> z;
};

/// From 0 to `length` [m], exact every `spacing` or closer; `radius` R [m]. Time and room grow with the
/// length. Throws Stopped.
Rolled roll(const Road& road, double radius, double length, double spacing, const std::stop_token& stop);

} // namespace valve::motion::detail
