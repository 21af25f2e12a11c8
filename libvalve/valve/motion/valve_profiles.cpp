#include <valve/core/error.hpp>
#include <valve/motion/valve_profiles.hpp>

#include <algorithm>
#include <cstddef>
#include <optional>
#include <utility>
#include <vector>

namespace valve::motion {

namespace {

ProfileSide side_of(const stack::MotionSide& side, double oil_density) {
    return {side.area, side.mass + oil_density * side.oil_volume, side.pressure_slope, side.friction};
}

ProfilePoint point_of(const stack::MotionPoint& point, double oil_density) {
    return {point.lift, point.pressure, side_of(point.below, oil_density), side_of(point.above, oil_density)};
}

/// What lies between two points of a round motion.
stack::MotionSide between(const stack::MotionPoint& low, const stack::MotionPoint& high, double share,
                          double slope) {
    const auto mean = [share](double from, double to) { return (1.0 - share) * from + share * to; };
    return {mean(low.above.mass, high.below.mass), mean(low.above.oil_volume, high.below.oil_volume),
            mean(low.above.area, high.below.area), slope, mean(low.above.friction, high.below.friction)};
}

/// Friction's part of the pressure in a round motion, at any pressure [-].
double friction_share(const std::vector<stack::MotionPoint>& round, double pressure) {
    const auto share = [](const stack::MotionPoint& point, const stack::MotionSide& side) {
        return point.pressure > 0.0 ? side.friction / point.pressure : 0.0;
    };
    const auto above = std::find_if(round.begin(), round.end(), [pressure](const stack::MotionPoint& point) {
        return point.pressure >= pressure;
    });
    if (above == round.begin()) return share(*above, above->above);
    const stack::MotionPoint& low = *(above - 1);
    if (above == round.end()) return share(low, low.below);
    const double part = (pressure - low.pressure) / (above->pressure - low.pressure);
    return (1.0 - part) * share(low, low.above) + part * share(*above, above->below);
}

/// A stack as it bends: parts of its round motion, as far as that is known to be stable, then the intervals
/// of the law that takes over. Friction is not solved round the ring: there it takes the same part of the
/// pressure as in the round shape under it.
class BentMotion final : public ProfileSource {
public:
    BentMotion(std::shared_ptr<const stack::UnevenLaw> law, double oil_density)
        : m_law(std::move(law)), m_oil_density(oil_density) {
        if (m_law->from_opening()) {
            m_shape = Shape::bent;
            m_pressure = begin_of_law().value_or(-1.0);
            if (m_pressure < 0.0)
                throw SolveError("as it bends over its ports, which are windows, no lift law was found");
            m_begin = {0.0, m_pressure, {}, {}};
            return;
        }
        m_begin = point_of(round().front(), oil_density);
        if (m_law->solution().waves_up_to(m_begin.pressure))
            throw SolveError("it buckles into waves before it opens");
    }

    std::vector<ProfilePoint> next() override {
        if (m_shape == Shape::buckled) m_shape = m_pressure > 0.0 ? Shape::bent : Shape::round_for_good;
        return m_shape == Shape::bent ? bent_part() : round_part();
    }

private:
    enum class Shape { round, buckled, bent, round_for_good };

    const std::vector<stack::MotionPoint>& round() const { return m_law->solution().motion().points; }

    std::optional<double> begin_of_law() const {
        return m_law->from(m_law->solution().curve().points.back().pressure);
    }

    /// Points of the round motion up to half as much pressure again, or to where it buckles.
    std::vector<ProfilePoint> round_part() {
        constexpr double ratio = 1.5;
        if (m_next == round().size()) return {};
        std::size_t end = m_next + 1;
        while (end < round().size() && round()[end].pressure <= ratio * m_begin.pressure)
            ++end;
        // Waves begin as the round shape buckles, or where they are told to a little above.
        std::optional<double> buckles;
        if (m_shape == Shape::round)
            if (const auto waves = m_law->solution().waves_up_to(round()[end - 1].pressure)) {
                m_pressure = begin_of_law().value_or(0.0);
                buckles = std::max(m_pressure, waves->pressure);
            }
        std::vector<ProfilePoint> part{m_begin};
        for (; m_next < end && m_shape != Shape::buckled; ++m_next) {
            if (buckles && round()[m_next].pressure >= *buckles) {
                m_shape = Shape::buckled;
                const ProfilePoint point = buckling_point(*buckles);
                if (point.lift > part.back().lift + resolved) part.push_back(point);
                break;
            }
            part.push_back(point_of(round()[m_next], m_oil_density));
        }
        m_begin = part.back();
        return part;
    }

    /// Where the round motion ends, short of its point `m_next`.
    ProfilePoint buckling_point(double pressure) const {
        const stack::LiftLaw::Value law = m_law->solution().law().at(pressure);
        const stack::MotionPoint& low = round()[m_next - 1];
        const stack::MotionPoint& high = round()[m_next];
        const double share = (law.lift - low.lift) / (high.lift - low.lift);
        const ProfileSide side = side_of(between(low, high, share, 1.0 / law.slope), m_oil_density);
        return {law.lift, pressure, side, side};
    }

    /// The next interval of the law on which the lift rises.
    std::vector<ProfilePoint> bent_part() {
        for (;;) {
            const std::vector<stack::MotionPoint> points = m_law->motion(m_pressure);
            if (points.empty()) return {};
            m_pressure = m_law->next(m_pressure);
            if (points.size() < 2) continue; // it stands still
            m_begin.above = bent_side(points.front(), points.front().above);
            if (m_begin.lift == 0.0) m_begin.below = m_begin.above;
            std::vector<ProfilePoint> part{m_begin};
            for (const stack::MotionPoint& point : points)
                if (point.lift > part.back().lift + resolved)
                    part.push_back({point.lift, point.pressure, bent_side(point, point.below),
                                    bent_side(point, point.above)});
            m_begin = part.back();
            if (part.size() > 1) return part;
        }
    }

    ProfileSide bent_side(const stack::MotionPoint& point, const stack::MotionSide& side) const {
        ProfileSide result = side_of(side, m_oil_density);
        result.friction = friction_share(round(), point.pressure) * point.pressure;
        return result;
    }

    static constexpr double resolved = 1e-9; // [m]

    std::shared_ptr<const stack::UnevenLaw> m_law;
    double m_oil_density;
    Shape m_shape = Shape::round;
    ProfilePoint m_begin;    // of the next part
    std::size_t m_next = 1;  // round point
    double m_pressure = 0.0; // where the next interval of the law begins
};

} // namespace

Profile profile_of(const stack::Stack& stack, const stack::Motion& motion, double oil_density) {
    const double density = stack.disc ? 0.0 : oil_density;
    std::vector<ProfilePoint> points;
    points.reserve(motion.points.size());
    for (const stack::MotionPoint& point : motion.points)
        points.push_back(point_of(point, density));
    return Profile(points, motion.stops ? std::optional<double>(motion.points.back().lift) : std::nullopt);
}

Profile bent_profile_of(const std::shared_ptr<const stack::UnevenLaw>& law, double oil_density) {
    const stack::Solution& solution = law->solution();
    if (!law->from_opening()) {
        const stack::Motion& round = solution.motion();
        if (round.stops && !solution.waves_up_to(round.points.back().pressure))
            return profile_of(solution.stack(), round, oil_density);
    }
    return Profile(std::make_unique<BentMotion>(law, oil_density));
}

} // namespace valve::motion
