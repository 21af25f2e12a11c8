#include <valve/motion/valve_profiles.hpp>

#include <optional>
#include <vector>

namespace valve::motion {

Profile profile_of(const stack::Stack& stack, const stack::Motion& motion, double oil_density) {
    const double density = stack.disc ? 0.0 : oil_density;
    const auto side = [&](const stack::MotionSide& from) {
        return ProfileSide{from.area, from.mass + density * from.oil_volume, from.pressure_slope};
    };
    std::vector<ProfilePoint> points;
    points.reserve(motion.points.size());
    for (const stack::MotionPoint& point : motion.points)
        points.push_back({point.lift, point.pressure, side(point.below), side(point.above)});
    return Profile(points, motion.stops ? std::optional<double>(motion.points.back().lift) : std::nullopt);
}

} // namespace valve::motion
