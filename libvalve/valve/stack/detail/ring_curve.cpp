#include <valve/core/bracket.hpp>
#include <valve/stack/detail/ring_curve.hpp>
#include <valve/stack/detail/windows.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <vector>

namespace valve::stack {
namespace {

/// Whether or not the harmonics hold; none where there is no state, or one that does not stay.
std::optional<RingLift> summed_at(Path& path, double pressure) {
    const State* state = path.at(pressure);
    if (state == nullptr) return std::nullopt;
    return ring_lift(path.problem(), *state);
}

bool holds(const Path& path, const RingLift& ring) {
    return path.problem().theory() == Theory::linear || ring.waviness <= RingLift::most_waviness;
}

constexpr double located = 1e-3; // of a pressure

/// Where `before`, true at `low` and false at `high` and where the state does not stay, ceases to hold.
Bracket locate(Path& path, double low, double high, double accuracy,
               const std::function<bool(const RingLift&)>& before) {
    return bisect(low, high, accuracy, [&](double pressure) -> std::optional<bool> {
        if (path.at(pressure) == nullptr) return std::nullopt;
        const std::optional<RingLift> ring = summed_at(path, pressure);
        return ring && before(*ring);
    });
}

std::optional<double> crack_mid_port(Path& path, const LiftCurve& curve) {
    const auto is_pressed = [&path](double pressure) -> std::optional<bool> {
        const State* state = path.at(pressure);
        if (state == nullptr) return std::nullopt;
        return seat_load_mid_port(path.problem(), *state) > 0.0;
    };
    if (is_pressed(0.0) != true) return 0.0;
    const bool mean_cracks = curve.crack_pressure > 0.0;
    const double end = mean_cracks ? curve.crack_pressure : curve.points.back().pressure;
    if (!mean_cracks && is_pressed(end) == true) return std::nullopt;
    return bisect(0.0, end, located, is_pressed).high;
}

/// Indices of the points at which the mean has lifted: the first of them, and the landmarks.
std::vector<std::size_t> open_landmarks(const LiftCurve& curve) {
    const std::vector<double> pressures = landmarks(curve);
    std::vector<std::size_t> found;
    for (std::size_t i = 0; i < curve.points.size(); ++i) {
        const double pressure = curve.points[i].pressure;
        if (pressure <= curve.crack_pressure) continue;
        if (found.empty() || std::binary_search(pressures.begin(), pressures.end(), pressure))
            found.push_back(i);
    }
    return found;
}

/// What the open arcs lift above the mean, per pressure [m/Pa], at the points of a curve: computed at its
/// open landmarks and between them wherever it is not linear, up to the point `last`; beyond it as there.
class ArcCompliance {
public:
    ArcCompliance(Path& path, const LiftCurve& curve, std::size_t last)
        : m_path(path), m_curve(curve), m_values(curve.points.size(), 0.0) {
        std::optional<std::size_t> before;
        for (const std::size_t landmark : open_landmarks(curve)) {
            const std::size_t knot = std::min(landmark, last);
            m_values[knot] = computed(knot);
            if (before) fill(*before, knot);
            before = knot;
            if (knot == last) break;
        }
        for (std::size_t i = last + 1; i < m_values.size(); ++i)
            m_values[i] = m_values[last];
    }

    double operator[](std::size_t point) const { return m_values[point]; }

private:
    double computed(std::size_t point) {
        const double pressure = m_curve.points[point].pressure;
        const std::optional<RingLift> ring = summed_at(m_path, pressure);
        if (!ring)
            throw SolveError(fmt::format(
                "at {:.4g} bar the windows bend the stack into waves that do not hold", 1e-5 * pressure));
        return (ring->open_arcs - ring->mean) / pressure;
    }

    void fill(std::size_t low, std::size_t high) {
        constexpr double accuracy = 1e-3;   // of the lift
        constexpr double resolution = 2e-8; // [m]
        if (high - low < 2) return;
        const auto pressure = [this](std::size_t i) { return m_curve.points[i].pressure; };
        const auto line = [&](std::size_t i) {
            const double share = (pressure(i) - pressure(low)) / (pressure(high) - pressure(low));
            return (1.0 - share) * m_values[low] + share * m_values[high];
        };
        const std::size_t middle = (low + high) / 2;
        m_values[middle] = computed(middle);
        const double miss = std::abs(m_values[middle] - line(middle)) * pressure(middle);
        if (miss > accuracy * m_curve.points[middle].seat_lift + resolution) {
            fill(low, middle);
            fill(middle, high);
            return;
        }
        for (std::size_t i = low + 1; i < high; ++i)
            if (i != middle) m_values[i] = line(i);
    }

    Path& m_path;
    const LiftCurve& m_curve;
    std::vector<double> m_values;
};

} // namespace

std::optional<RingLift> ring_lift_at(Path& path, double pressure) {
    const std::optional<RingLift> ring = summed_at(path, pressure);
    return ring && holds(path, *ring) ? ring : std::nullopt;
}

RingCurve follow_ring(Path& path, const LiftCurve& curve) {
    RingCurve result;
    result.crack_mid_port = crack_mid_port(path, curve);

    const auto lies = [](const RingLift& ring) { return ring.mid_land < 0.0; };
    double lying = 0.0;  // the last landmark at which the shim lies down; 0: none
    double lifted = 0.0; // the next, at which it does not
    double before = curve.crack_pressure;
    for (const std::size_t landmark : open_landmarks(curve)) {
        const double pressure = curve.points[landmark].pressure;
        const std::optional<RingLift> ring = ring_lift_at(path, pressure);
        if (!ring) {
            constexpr double roughly = 1e-2; // for the limit itself is no sharper
            result.holds_until = locate(path, before, pressure, roughly, [&](const RingLift& between) {
                                     return holds(path, between);
                                 }).low;
            break;
        }
        if (lies(*ring)) {
            lying = pressure;
        } else if (lifted <= lying) {
            lifted = pressure;
        }
        before = pressure;
    }
    if (lying > 0.0)
        result.lies_down_until = lifted > lying ? locate(path, lying, lifted, located, lies).high
                                                : result.holds_until.value_or(curve.points.back().pressure);
    return result;
}

ArcsLaw open_arcs_law(Path& path, const LiftCurve& curve, const RingCurve& ring) {
    const std::vector<LiftPoint>& points = curve.points;
    const std::vector<std::size_t> open = open_landmarks(curve);
    if (!ring.crack_mid_port || open.empty())
        return {LiftLaw({0.0, points.back().pressure}, {0.0, 0.0}, curve.load_area), {}};

    std::size_t last = points.size() - 1;
    while (ring.holds_until && last > open.front() && points[last].pressure > *ring.holds_until)
        --last;
    const ArcCompliance compliance(path, curve, last);
    std::vector<double> pressures{0.0};
    std::vector<double> lifts{0.0};
    const auto add = [&](double pressure, double lift) {
        if (pressure <= pressures.back()) return;
        pressures.push_back(pressure);
        lifts.push_back(std::max(lift, lifts.back()));
    };
    add(*ring.crack_mid_port, 0.0);
    for (std::size_t i = open.front(); i < points.size(); ++i)
        add(points[i].pressure, points[i].seat_lift + compliance[i] * points[i].pressure);
    return {LiftLaw(std::move(pressures), std::move(lifts), curve.load_area), ring.holds_until};
}

} // namespace valve::stack
