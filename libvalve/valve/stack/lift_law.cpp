#include <valve/core/monotone.hpp>
#include <valve/stack/detail/cubic.hpp>
#include <valve/stack/lift_law.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace valve::stack {

namespace {

/// Slope at an end from the two nearest intervals: the three-point formula, cut back where it would make the
/// cubic overshoot.
/// Source: fritsch_carlson_1980 (limits 0 and 3 of the secant).
double end_slope(double near_width, double far_width, double near_secant, double far_secant) {
    const double slope =
        ((2.0 * near_width + far_width) * near_secant - near_width * far_secant) / (near_width + far_width);
    return std::clamp(slope, 0.0, 3.0 * near_secant);
}

/// As monotone_slopes(), with end_slope() at the ends.
std::vector<double> rising_slopes(const std::vector<double>& x, const std::vector<double>& y) {
    const std::size_t last = x.size() - 1;
    const auto width = [&](std::size_t i) { return x[i + 1] - x[i]; };
    const auto secant = [&](std::size_t i) { return (y[i + 1] - y[i]) / width(i); };

    std::vector<double> slopes = monotone_slopes(x, y);
    if (last == 1) return slopes;
    slopes.front() = end_slope(width(0), width(1), secant(0), secant(1));
    slopes.back() = end_slope(width(last - 1), width(last - 2), secant(last - 1), secant(last - 2));
    return slopes;
}

std::vector<double> pressures_of(const LiftCurve& curve) {
    std::vector<double> pressures;
    pressures.reserve(curve.points.size());
    for (const LiftPoint& point : curve.points)
        pressures.push_back(point.pressure);
    return pressures;
}

/// Lifts of a curve: closed up to the crack, and level where they fall by no more than the solver's error.
/// Throws SolveError where they fall further.
std::vector<double> lifts_of(const LiftCurve& curve) {
    constexpr double solver_error = 1e-9; // [m]
    std::vector<double> lifts;
    lifts.reserve(curve.points.size());
    double highest = 0.0;
    for (const LiftPoint& point : curve.points) {
        const double lift = point.pressure <= curve.crack_pressure ? 0.0 : point.seat_lift;
        if (lift < highest - solver_error)
            throw SolveError(
                fmt::format("at {:.4g} bar the seat lift falls below the {:.4g} mm that it has had, "
                            "so that there is no flow law: the shims pivot on an edge or a stop inside the "
                            "seat; try a thicker face shim, or support nearer to the seat",
                            1e-5 * point.pressure, 1e3 * highest));
        highest = std::max(highest, lift);
        lifts.push_back(highest);
    }
    return lifts;
}

} // namespace

LiftLaw::LiftLaw(const LiftCurve& curve) : LiftLaw(pressures_of(curve), lifts_of(curve), curve.load_area) {
    for (std::size_t i = 0; i < m_slopes.size(); ++i) {
        const double steepest = 3.0 * secant(i);
        m_slopes[i] = {std::clamp(curve.points[i].rate_after, 0.0, steepest),
                       std::clamp(curve.points[i + 1].rate_before, 0.0, steepest)};
    }
}

LiftLaw::LiftLaw(std::vector<double> pressures, std::vector<double> lifts, double load_area)
    : m_pressures(std::move(pressures)), m_lifts(std::move(lifts)), m_load_area(load_area) {
    if (m_pressures.size() != m_lifts.size() || m_pressures.size() < 2)
        throw std::invalid_argument("LiftLaw: needs two points or more, a lift for every pressure");
    if (!(load_area > 0.0)) throw std::invalid_argument("LiftLaw: load area must be positive");
    if (!(m_pressures.front() >= 0.0) || !(m_lifts.front() >= 0.0))
        throw std::invalid_argument("LiftLaw: pressures and lifts must not be negative");
    if (m_pressures.front() > 0.0 && m_lifts.front() > 0.0)
        throw std::invalid_argument(
            "LiftLaw: a curve that does not begin at zero pressure must begin closed");
    for (std::size_t i = 1; i < m_pressures.size(); ++i)
        if (!(m_pressures[i] > m_pressures[i - 1]) || !(m_lifts[i] >= m_lifts[i - 1]))
            throw std::invalid_argument("LiftLaw: pressures must rise and lifts must not fall");
    const std::vector<double> slopes = rising_slopes(m_pressures, m_lifts);
    for (std::size_t i = 0; i + 1 < slopes.size(); ++i)
        m_slopes.push_back({slopes[i], slopes[i + 1]});

    const auto open = std::find_if(m_lifts.begin(), m_lifts.end(), [](double lift) { return lift > 0.0; });
    const auto last_closed = open == m_lifts.begin() ? open : open - 1;
    m_opening_pressure = m_pressures[static_cast<std::size_t>(last_closed - m_lifts.begin())];
}

double LiftLaw::secant(std::size_t interval) const {
    return (m_lifts[interval + 1] - m_lifts[interval]) / (m_pressures[interval + 1] - m_pressures[interval]);
}

LiftLaw::Value LiftLaw::at(double pressure) const {
    if (m_pressures.empty() || pressure < m_pressures.front()) return {};
    if (pressure > m_pressures.back()) return {m_lifts.back(), 0.0};

    const auto above = std::upper_bound(m_pressures.begin() + 1, m_pressures.end() - 1, pressure);
    const auto interval = static_cast<std::size_t>(above - m_pressures.begin()) - 1;
    const auto [left, right] = m_slopes[interval];
    return LiftCubic{m_pressures[interval],
                     m_pressures[interval + 1],
                     m_lifts[interval],
                     m_lifts[interval + 1],
                     left,
                     right}
        .at(pressure);
}

} // namespace valve::stack
