#pragma once

#include <valve/core/findings.hpp>

#include <array>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace valve::motion {

enum class EventKind { square_edge, bump, bumps, landing, braking, rough, profile };

inline constexpr std::array<EventKind, 7> all_event_kinds{
    EventKind::square_edge, EventKind::bump,  EventKind::bumps,  EventKind::landing,
    EventKind::braking,     EventKind::rough, EventKind::profile};

constexpr std::string_view name(EventKind kind) {
    switch (kind) {
    case EventKind::square_edge:
        return "square_edge";
    case EventKind::bump:
        return "bump";
    case EventKind::bumps:
        return "bumps";
    case EventKind::landing:
        return "landing";
    case EventKind::braking:
        return "braking";
    case EventKind::rough:
        return "rough";
    case EventKind::profile:
        return "profile";
    }
    return "";
}

/// Whether what is met within 10 mm of level is a bump: of a landing there is none, of an edge it is the
/// first of the climb.
constexpr bool has_small_bumps(EventKind kind) {
    return kind != EventKind::landing && kind != EventKind::square_edge;
}

/// Something that happens to one wheel. Distances from where the wheel is over at the start [m].
struct Event {
    std::string title;
    EventKind kind = EventKind::bump;
    double speed = 0.0;           ///< along the ground [m/s]
    double duration = 0.0;        ///< of the run [s]
    double at = 1.0;              ///< where the first feature, or the roughness, begins
    double height = 0.0;          ///< of an edge or bump; of a landing: dropped by both masses [m]
    double length = 0.0;          ///< of a bump, a half-sine
    double pitch = 0.0;           ///< from bump to bump
    int count = 1;                ///< of bumps
    double slope = 0.0;           ///< of the ground that is landed on, falling away [rad]
    double load_transfer = 0.0;   ///< on the sprung mass, downwards; of braking [N]
    double transfer_time = 0.2;   ///< in which it builds up from the start [s]
    double roughness = 0.0;       ///< G_0, displacement density at 0.1 cycles/m [m³]
    std::uint64_t seed = 1;       ///< of the phases: each makes one road
    std::vector<double> distance; ///< of a profile, rising
    std::vector<double> heights;  ///< there, straight lines between [m]
    bool operator==(const Event&) const = default;
};

/// G_0 of a road of class 'A' to 'H' [m³], the geometric mean of the class: 16e-6 · 4^k. Source: iso_8608.
/// Throws std::invalid_argument for another letter.
double roughness_of_class(char letter);

/// A rough road repeats after so much [m]; no run may be longer.
inline constexpr double rough_road_length = 2000.0;

/// A run that ends before what happens on its way does.
struct CutOff {
    double run = 0.0;  ///< distance ridden [m]
    double ends = 0.0; ///< where the edge is, where the last bump or the profile ends, roughness begins [m]
};

/// None where all of `event` lies within its run, as that of a landing does. Of an event without errors.
std::optional<CutOff> cut_off(const Event& event);

/// What cannot be run on a wheel of `radius` [m]; keys as in an event's file, below `event`.
Findings check(const Event& event, double radius);

/// Of an event without errors: whether a wheel of `radius` [m] starts short of its edge or first bump. What
/// is rough or measured may begin under it.
Findings check_start(const Event& event, double radius);

} // namespace valve::motion
