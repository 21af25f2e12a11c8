#include <valve/core/cubic.hpp>
#include <valve/motion/detail/road.hpp>

#include <algorithm>
#include <cmath>

namespace valve::motion::detail {

namespace {

/// Slopes of the spline through equally spaced heights.
std::vector<double> spline_slopes(std::span<const double> z, double spacing) {
    const std::size_t last = z.size() - 1;
    const auto end = [&](const auto& at) { // forward difference of order 4
        return (-25.0 * at(0) + 48.0 * at(1) - 36.0 * at(2) + 16.0 * at(3) - 3.0 * at(4)) / (12.0 * spacing);
    };
    std::vector<double> slopes(z.size(), 0.0);
    slopes.front() = end([&](std::size_t i) { return z[i]; });
    slopes.back() = -end([&](std::size_t i) { return z[last - i]; });
    // d_(i−1) + 4 d_i + d_(i+1) = 3 (z_(i+1) − z_(i−1))/h: the bend passes on.
    std::vector<double> above(z.size(), 0.0); // the diagonal above, eliminated
    for (std::size_t i = 1; i < last; ++i) {
        const double pivot = 4.0 - above[i - 1];
        above[i] = 1.0 / pivot;
        slopes[i] = (3.0 * (z[i + 1] - z[i - 1]) / spacing - slopes[i - 1]) / pivot;
    }
    for (std::size_t i = last - 1; i > 0; --i)
        slopes[i] -= above[i] * slopes[i + 1];
    return slopes;
}

} // namespace

Road::Road(std::span<const double> distances, std::span<const double> heights) {
    m_points.reserve(distances.size());
    double slope = 0.0;
    for (std::size_t i = 0; i < distances.size(); ++i) {
        const bool last = i + 1 == distances.size();
        const double next = last ? 0.0 : (heights[i + 1] - heights[i]) / (distances[i + 1] - distances[i]);
        m_points.push_back({distances[i], heights[i], slope, next});
        slope = next;
    }
}

Road::Road(double from, double spacing, std::span<const double> heights) {
    const std::vector<double> slopes = spline_slopes(heights, spacing);
    m_points.reserve(heights.size());
    for (std::size_t i = 0; i < heights.size(); ++i)
        m_points.push_back({from + static_cast<double>(i) * spacing, heights[i], slopes[i], slopes[i]});
    m_points.front().slope_before = 0.0;
    m_points.back().slope_after = 0.0;
}

ValueSlope Road::at(double s) const {
    if (s < m_points.front().s) return {m_points.front().height, 0.0};
    if (s >= m_points.back().s) return {m_points.back().height, 0.0};
    const auto above = std::upper_bound(m_points.begin() + 1, m_points.end() - 1, s,
                                        [](double x, const Point& point) { return x < point.s; });
    const Point& left = *(above - 1);
    const Point& right = *above;
    const double width = right.s - left.s;
    return hermite(width, (s - left.s) / width, {left.height, left.slope_after},
                   {right.height, right.slope_before});
}

Bend between(const Road::Point& left, const Road::Point& right, double s) {
    const double width = right.s - left.s;
    const double share = (s - left.s) / width;
    const Cubic cubic(width, {left.height, left.slope_after}, {right.height, right.slope_before});
    const ValueSlope height = cubic.at(share);
    return {height.value, height.slope, cubic.bend(share)};
}

} // namespace valve::motion::detail
