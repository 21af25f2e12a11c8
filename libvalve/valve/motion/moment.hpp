#pragma once

#include <algorithm>
#include <array>
#include <cstddef>
#include <limits>
#include <numeric>
#include <string_view>

namespace valve::motion {

/// How a valve moves.
enum class Valves {
    moving,      ///< with mass, squeeze film and swept volume
    quasi_static ///< its lift follows the pressure at once
};

/// "moving", "quasi-static".
constexpr std::string_view name(Valves valves) {
    return valves == Valves::moving ? "moving" : "quasi-static";
}

/// How closely the steps of a motion follow its equations.
enum class Accuracy {
    fine, ///< energy closes to some 1e-6
    quick ///< peaks within 5e-3, voids 3e-3, energy 1e-3, in half to a seventh of the steps
};

/// "fine", "quick".
constexpr std::string_view name(Accuracy accuracy) {
    return accuracy == Accuracy::fine ? "fine" : "quick";
}

/// What holds a valve that moves.
enum class Seating { shut, open, stopped };

/// What the piston of a reservoir does. One without friction is free.
enum class Grip { free, stuck, in, out };

/// What does not change between two events.
struct Modes {
    std::array<Seating, 4> seating{}; ///< in the order of damper::all_places; of valves that move
    Grip grip = Grip::free;
    double held = 0.0; ///< oil that a stuck reservoir next to C, without base, has taken in [m³]

    bool operator==(const Modes&) const = default;
};

/// One valve at one moment; flows positive the way it opens.
struct ValveMoment {
    double lift = 0.0;         ///< [m]
    double p_eff = 0.0;        ///< [Pa]
    double port_flow = 0.0;    ///< through its ports, the swept part included [m³/s]
    double curtain_flow = 0.0; ///< under its shim [m³/s]
};

/// A damper at one moment. Pressures absolute [Pa]; flows positive from C [m³/s].
struct Moment {
    double time = 0.0;   ///< [s]
    double travel = 0.0; ///< [m]
    double speed = 0.0;  ///< of the rod, positive in compression [m/s]
    double force = 0.0;  ///< on the rod, outwards, what it leaves into included [N]
    double p_C = 0.0;
    double p_R = 0.0;
    double p_S = 0.0;
    double void_C = 0.0; ///< [m³]
    double void_R = 0.0;
    double piston_flow = 0.0;
    double base_flow = 0.0;
    double end_force = 0.0; ///< of the plugs in their cups, part of `force` [N]
    std::array<ValveMoment, 4> valves{};
    bool beyond_curve = false;   ///< a valve is lifted beyond the end of its curve
    bool reservoir_full = false; ///< its piston is at the end of its room
};

/// What a rod does and bears at one moment; signs and units are those of Moment.
struct RodMoment {
    RodMoment() = default;
    explicit RodMoment(const Moment& at)
        : time(at.time), travel(at.travel), speed(at.speed), force(at.force) {}

    double time = 0.0;
    double travel = 0.0;
    double speed = 0.0;
    double force = 0.0;
};

/// Least and greatest of a damper over some moments; before the first, pressures are infinite.
struct Extremes {
    double lowest_p_C = std::numeric_limits<double>::infinity(); ///< [Pa]
    double lowest_p_R = std::numeric_limits<double>::infinity();
    double highest_p_C = -std::numeric_limits<double>::infinity();
    double highest_p_R = -std::numeric_limits<double>::infinity();
    double largest_void_C = 0.0; ///< [m³]
    double largest_void_R = 0.0;
    bool beyond_curve = false;   ///< a valve was lifted beyond the end of its lift curve
    bool reservoir_full = false; ///< its piston met the end of its room

    void add(const Moment& moment) {
        lowest_p_C = std::min(lowest_p_C, moment.p_C);
        lowest_p_R = std::min(lowest_p_R, moment.p_R);
        highest_p_C = std::max(highest_p_C, moment.p_C);
        highest_p_R = std::max(highest_p_R, moment.p_R);
        largest_void_C = std::max(largest_void_C, moment.void_C);
        largest_void_R = std::max(largest_void_R, moment.void_R);
        beyond_curve = beyond_curve || moment.beyond_curve;
        reservoir_full = reservoir_full || moment.reservoir_full;
    }
};

/// Energies since the beginning [J].
struct Energies {
    double rod = 0.0;       ///< that the pressures on the piston have taken from the rod
    double reservoir = 0.0; ///< that the oil has brought into the reservoir, friction of its piston apart
    std::array<double, 4> valves{}; ///< lost across each valve, what its plates have stored included
    double piston_bleeds = 0.0;     ///< and ring leak
    double base_bleeds = 0.0;
    double plates = 0.0;   ///< that the valves' plates have taken up, squeeze film deducted
    double cups = 0.0;     ///< lost in the cups at the ends of the stroke
    double friction = 0.0; ///< lost to the reservoir's piston
};

/// What the oil has lost across valves and bleeds [J].
inline double lost_across(const Energies& energies) {
    return std::accumulate(energies.valves.begin(), energies.valves.end(), 0.0) + energies.piston_bleeds +
           energies.base_bleeds;
}

} // namespace valve::motion
