#include <valve/core/cubic.hpp>
#include <valve/core/detail/mutex.hpp>
#include <valve/core/error.hpp>
#include <valve/core/monotone.hpp>
#include <valve/motion/profile.hpp>

#include <algorithm>
#include <array>
#include <atomic>
#include <cmath>
#include <stdexcept>
#include <utility>

namespace valve::motion {

Profile::Known::Known(const std::vector<ProfilePoint>& points) {
    if (points.size() < 2) throw std::invalid_argument("Profile: needs two points or more");
    for (const ProfilePoint& point : points) {
        for (const ProfileSide& side : {point.below, point.above}) {
            if (!(side.area > 0.0 && side.mass > 0.0))
                throw std::invalid_argument("Profile: areas and masses must be positive");
            if (!(side.friction >= 0.0))
                throw std::invalid_argument("Profile: frictions must not be negative");
        }
        if (!(point.pressure >= 0.0)) throw std::invalid_argument("Profile: pressures must not be negative");
        if (!m_lift.empty()) {
            if (!(point.lift > m_lift.back() && point.pressure >= m_pressure.back()))
                throw std::invalid_argument("Profile: lifts must rise and pressures must not fall");
            m_end.push_back(point.below);
        }
        if (m_begin.size() + 1 < points.size()) m_begin.push_back(point.above);
        m_lift.push_back(point.lift);
        m_pressure.push_back(point.pressure);
    }
    if (m_lift.front() != 0.0) throw std::invalid_argument("Profile: lifts must begin at 0");
    set_slopes(points);
    m_energy.push_back(0.0);
    for (std::size_t i = 0; i + 1 < m_lift.size(); ++i)
        m_energy.push_back(m_energy.back() + work(i, m_lift[i + 1]));
}

void Profile::Known::set_slopes(const std::vector<ProfilePoint>& points) {
    const std::vector<double> means = monotone_slopes(m_lift, m_pressure);
    for (std::size_t i = 0; i + 1 < m_lift.size(); ++i) {
        const double secant = (m_pressure[i + 1] - m_pressure[i]) / (m_lift[i + 1] - m_lift[i]);
        constexpr double steepest = 3.0; // times the secant: no steeper cubic is sure to rise throughout
        const auto slope = [&](const std::optional<double>& given, double mean) {
            return std::clamp(given.value_or(mean), 0.0, steepest * secant);
        };
        m_slope_begin.push_back(slope(points[i].above.pressure_slope, means[i]));
        m_slope_end.push_back(slope(points[i + 1].below.pressure_slope, means[i + 1]));
    }
}

Profile::Value Profile::Known::inside(std::size_t i, double lift) const {
    const double width = m_lift[i + 1] - m_lift[i];
    const double s = (lift - m_lift[i]) / width;
    const ValueSlope p =
        hermite(width, s, {m_pressure[i], m_slope_begin[i]}, {m_pressure[i + 1], m_slope_end[i]});
    const double area = m_end[i].area - m_begin[i].area;
    const double mass = m_end[i].mass - m_begin[i].mass;
    const double friction = m_end[i].friction - m_begin[i].friction;
    return {p.value,
            p.slope,
            m_begin[i].area + s * area,
            area / width,
            m_begin[i].mass + s * mass,
            mass / width,
            m_begin[i].friction + s * friction,
            friction / width};
}

Profile::Value Profile::Known::at(double lift) const {
    if (lift <= 0.0) {
        Value value = inside(0, 0.0);
        if (lift < 0.0)
            value.pressure_slope = value.area_slope = value.mass_slope = value.friction_slope = 0.0;
        return value;
    }
    if (lift > m_lift.back())
        return {m_pressure.back() + m_slope_end.back() * (lift - m_lift.back()),
                m_slope_end.back(),
                m_end.back().area,
                0.0,
                m_end.back().mass,
                0.0,
                m_end.back().friction,
                0.0,
                true};
    const auto above = std::upper_bound(m_lift.begin() + 1, m_lift.end() - 1, lift);
    return inside(static_cast<std::size_t>(above - m_lift.begin()) - 1, lift);
}

/// ∫ A p_stat dy from the beginning of an interval up to `to` within it; exact for a cubic and a straight
/// line.
double Profile::Known::work(std::size_t interval, double to) const {
    constexpr std::array<double, 4> place{0.069431844202973712, 0.33000947820757187, 0.66999052179242813,
                                          0.93056815579702629}; // Gauss, four points
    constexpr std::array<double, 4> weight{0.17392742256872693, 0.32607257743127307, 0.32607257743127307,
                                           0.17392742256872693};
    const double width = to - m_lift[interval];
    double sum = 0.0;
    for (std::size_t k = 0; k < place.size(); ++k) {
        const Value value = inside(interval, m_lift[interval] + place[k] * width);
        sum += weight[k] * value.area * value.pressure;
    }
    return sum * width;
}

double Profile::Known::energy(double lift) const {
    if (lift <= 0.0) return 0.0;
    if (lift > m_lift.back()) {
        const double more = lift - m_lift.back();
        return m_energy.back() +
               m_end.back().area * more * (m_pressure.back() + 0.5 * m_slope_end.back() * more);
    }
    const auto above = std::upper_bound(m_lift.begin() + 1, m_lift.end() - 1, lift);
    const auto interval = static_cast<std::size_t>(above - m_lift.begin()) - 1;
    return m_energy[interval] + work(interval, lift);
}

/// What is known so far. Curves of before are kept, for others may be reading them.
struct Profile::Growing {
    explicit Growing(std::unique_ptr<ProfileSource> from) : source(std::move(from)) {
        if (!grow()) throw std::invalid_argument("Profile: needs two points or more");
    }

    /// Adds a part; false where there is none.
    bool grow() {
        std::vector<ProfilePoint> part = source->next();
        if (part.empty()) return false;
        std::vector<ProfilePoint> all = points;
        if (!all.empty()) {
            all.back().above = part.front().above;
            part.erase(part.begin());
        }
        all.insert(all.end(), part.begin(), part.end());
        curves.push_back(std::make_unique<const Known>(all));
        points = std::move(all);
        now = curves.back().get();
        return true;
    }

    const Known& up_to(double lift) {
        const Lock lock(mutex);
        const auto is_short = [&] { return lift >= now.load()->end(); };
        while (!complete && is_short()) {
            try {
                complete = !grow();
            } catch (const SolveError&) { // no state
                complete = true;
            } catch (const std::invalid_argument&) { // no profile
                complete = true;
            }
        }
        return *now;
    }

    Mutex mutex;
    std::unique_ptr<ProfileSource> source;
    std::vector<ProfilePoint> points;
    std::vector<std::unique_ptr<const Known>> curves;
    std::atomic<const Known*> now = nullptr;
    bool complete = false;
};

Profile::Profile(const std::vector<ProfilePoint>& points, std::optional<double> stop)
    : m_known(std::make_shared<const Known>(points)), m_stop(stop),
      m_crack_pressure(m_known->crack_pressure()) {
    if (stop && !(*stop > 0.0)) throw std::invalid_argument("Profile: the stop must lie above the seat");
}

Profile::Profile(std::unique_ptr<ProfileSource> source)
    : m_growing(std::make_shared<Growing>(std::move(source))),
      m_crack_pressure(m_growing->now.load()->crack_pressure()) {}

const Profile::Known& Profile::curve(double lift) const {
    if (m_known) return *m_known;
    const Known& known = *m_growing->now.load(std::memory_order_acquire);
    return lift < known.end() ? known : m_growing->up_to(lift);
}

double Profile::end() const {
    return m_known ? m_known->end() : m_growing->now.load()->end();
}

} // namespace valve::motion
