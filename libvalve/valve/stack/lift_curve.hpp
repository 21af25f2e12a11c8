#pragma once

#include <valve/stack/spec.hpp>
#include <valve/stack/stress.hpp>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace valve::stack {

/// Plate theory in force.
enum class Theory { linear, large_deflection };

constexpr std::string_view name(Theory theory) {
    return theory == Theory::linear ? "linear plates" : "large-deflection plates";
}

/// Which shape of a stack counts: as it bends round the ring, over windows and beyond buckling; or as if it
/// were round under its mean load, as the lift curve has it.
enum class Shape { as_it_bends, round };

/// How a stack is solved.
struct FollowOptions {
    Theory theory = Theory::large_deflection;
    double max_pressure = 200e5;      ///< end of the lift curve [Pa]
    Shape shape = Shape::as_it_bends; ///< for whoever asks; a solution answers for both

    bool operator==(const FollowOptions&) const = default;
};

/// A stack under the pressure `pressure` on its zone, falling to zero across the land, without flow.
struct LiftPoint {
    double pressure = 0.0;    ///< p_eff [Pa]
    double seat_lift = 0.0;   ///< of the face shim over the seat at the seat's inner radius [m]
    double rate_before = 0.0; ///< of the seat lift along the pressure, coming from below [m/Pa]
    double rate_after = 0.0;  ///< the same, going on; another at an event
    double edge_lift = 0.0;   ///< of the face shim's outer edge above its rest position [m]
    double float_lift = 0.0;  ///< y, of the ring of a floated stack [m]
    double seat_force = 0.0;  ///< of the land on the face shim [N]
    double hub_force =
        0.0; ///< of the clamp (or, floated, of the hub) on the shims, positive away from the piston [N]
    double stop_force = 0.0;             ///< of the stop on a floated stack, positive towards the piston [N]
    StressPeak peak;                     ///< of all shims
    std::optional<StressShare> of_yield; ///< of the shims whose strip states a yield strength
    std::optional<StressShare> of_fatigue; ///< of those whose strip states a fatigue limit
};

enum class EventKind { crack, float_start, stop, touch, gap_closing, part };

constexpr std::string_view name(EventKind kind) {
    switch (kind) {
    case EventKind::crack:
        return "crack";
    case EventKind::float_start:
        return "float start";
    case EventKind::stop:
        return "stop";
    case EventKind::touch:
        return "touch";
    case EventKind::gap_closing:
        return "gap closing";
    case EventKind::part:
        return "part";
    }
    return "";
}

/// A change of contact along the rising pressure. Two shims close a gap where smaller ones lie between them
/// in the list, touch where none does. Shims counted from 1; 0 stands for the seat or hub.
struct Event {
    double pressure = 0.0; ///< [Pa]
    EventKind kind = EventKind::crack;
    std::vector<int> shims;
    double radius = 0.0; ///< [m]
};

/// Pressure from which a limit of the strip is passed, and where.
struct StressLimit {
    double pressure = 0.0; ///< [Pa]
    StressPeak peak;
};

/// What errors of a stack begin with that cannot be followed from rest on; the reason comes after.
inline constexpr std::string_view no_lift_curve = "the stack has no lift curve: ";

/// Lift of one stack along the rising pressure.
struct LiftCurve {
    Theory theory = Theory::linear;
    double load_area = 0.0;                     ///< A_load, load per unit of p_eff [m²]
    double crack_pressure = 0.0;                ///< at which the seat reaction vanishes [Pa]
    std::optional<double> opening_pressure;     ///< at 0.02 mm seat lift [Pa]
    std::optional<double> float_start_pressure; ///< at which the ring of a floated stack leaves its rest [Pa]
    std::vector<LiftPoint> points;              ///< pressure rising
    std::optional<std::string> end_reason;      ///< why the curve ends below the greatest pressure asked
    std::vector<Event> events;                  ///< pressure rising
    std::optional<StressLimit> set;             ///< from where a shim keeps a set
    std::optional<StressLimit> fatigue;         ///< from where a shim's life is no longer endless
};

/// Pressures of the curve that a search may step along: its events, and points at least 1.6 times apart.
std::vector<double> landmarks(const LiftCurve& curve);

} // namespace valve::stack
