#pragma once

#include <valve/damper/check.hpp>
#include <valve/damper/spec.hpp>
#include <valve/motion/cycle.hpp>
#include <valve/motion/event.hpp>
#include <valve/motion/ride.hpp>
#include <valve/motion/vehicle.hpp>
#include <valve/plate/check.hpp>
#include <valve/stack/check.hpp>

#include <array>
#include <functional>
#include <map>
#include <optional>
#include <stop_token>
#include <string>
#include <tuple>
#include <type_traits>
#include <utility>
#include <variant>
#include <vector>

// The members of every struct that a caller fills. Each list is a structured binding, which does not compile
// with a member too many or too few: a new member has to be named here.

namespace valve::testing {

template <class T>
struct Member {
    const char* name;
    T& value;
};

#define VALVE_MEMBER(name)                                                                                   \
    Member<std::remove_reference_t<decltype(name)>> {                                                        \
#name, name                                                                                          \
    }
#define VALVE_M1(a) VALVE_MEMBER(a)
#define VALVE_M2(a, ...) VALVE_MEMBER(a), VALVE_M1(__VA_ARGS__)
#define VALVE_M3(a, ...) VALVE_MEMBER(a), VALVE_M2(__VA_ARGS__)
#define VALVE_M4(a, ...) VALVE_MEMBER(a), VALVE_M3(__VA_ARGS__)
#define VALVE_M5(a, ...) VALVE_MEMBER(a), VALVE_M4(__VA_ARGS__)
#define VALVE_M6(a, ...) VALVE_MEMBER(a), VALVE_M5(__VA_ARGS__)
#define VALVE_M7(a, ...) VALVE_MEMBER(a), VALVE_M6(__VA_ARGS__)
#define VALVE_M8(a, ...) VALVE_MEMBER(a), VALVE_M7(__VA_ARGS__)
#define VALVE_M9(a, ...) VALVE_MEMBER(a), VALVE_M8(__VA_ARGS__)
#define VALVE_M10(a, ...) VALVE_MEMBER(a), VALVE_M9(__VA_ARGS__)
#define VALVE_M11(a, ...) VALVE_MEMBER(a), VALVE_M10(__VA_ARGS__)
#define VALVE_M12(a, ...) VALVE_MEMBER(a), VALVE_M11(__VA_ARGS__)
#define VALVE_M13(a, ...) VALVE_MEMBER(a), VALVE_M12(__VA_ARGS__)
#define VALVE_M14(a, ...) VALVE_MEMBER(a), VALVE_M13(__VA_ARGS__)
#define VALVE_M15(a, ...) VALVE_MEMBER(a), VALVE_M14(__VA_ARGS__)
#define VALVE_M16(a, ...) VALVE_MEMBER(a), VALVE_M15(__VA_ARGS__)
#define VALVE_MEMBERS(Struct, count, ...)                                                                    \
    inline auto members(Struct& whole) {                                                                     \
        auto& [__VA_ARGS__] = whole;                                                                         \
        return std::tuple{VALVE_M##count(__VA_ARGS__)};                                                      \
    }

VALVE_MEMBERS(plate::Material, 5, youngs_modulus, poisson_ratio, density, yield_strength, fatigue_limit)
VALVE_MEMBERS(stack::Shim, 3, outer_radius, thickness, material)
VALVE_MEMBERS(stack::Seat, 3, inner_radius, outer_radius, height)
VALVE_MEMBERS(stack::Zone, 2, inner_radius, outer_radius)
VALVE_MEMBERS(stack::SpringAdjuster, 3, turns, per_turn, range)
VALVE_MEMBERS(stack::Float, 8, travel, spring_rate, preload, ring_radius, spring_radius, stop_radius,
              rests_on, adjuster)
VALVE_MEMBERS(stack::Disc, 2, outer_radius, mass)
VALVE_MEMBERS(stack::Stack, 10, shims, disc, clamp_radius, bore_radius, zone, coverage, windows, seat, edge,
              floating)
VALVE_MEMBERS(stack::FollowOptions, 3, theory, max_pressure, shape)
VALVE_MEMBERS(stack::ModesOptions, 4, pressure, oil_density, most_diameters, families)
VALVE_MEMBERS(flow::Oil, 7, density_15, viscosity, bulk_modulus, free_air, temperature, expansion,
              cavitation_pressure)
VALVE_MEMBERS(flow::Ports, 3, count, area_each, length)
VALVE_MEMBERS(flow::Discharge, 6, port, curtain, bleed, port_transition, curtain_transition, bleed_transition)
VALVE_MEMBERS(flow::Needle, 5, seat_diameter, cone_angle, per_click, clicks, range)
VALVE_MEMBERS(flow::Hole, 2, diameter, count)
VALVE_MEMBERS(flow::Notch, 2, area, depth)
VALVE_MEMBERS(flow::Valve, 9, ports, stack, curtain_length, jet_force, discharge, bleed, bleed_ways,
              shim_friction, restitution)
VALVE_MEMBERS(damper::RingLeak, 3, gap, length, eccentricity)
VALVE_MEMBERS(damper::EndCup, 8, plug, length, gap, entry_gap, hole, ways, discharge, transition)
VALVE_MEMBERS(damper::Cartridge, 9, layout, bore, rod, travel, ring_leak, dead_length_C, dead_length_R,
              end_of_stroke, top_out)
VALVE_MEMBERS(damper::Reservoir, 12, kind, diameter, spring_rate, preload, friction, mass, back_pressure,
              gas_volume, gas_pressure, exponent, stroke, capacity)
VALVE_MEMBERS(damper::Valves, 1, at_place)
VALVE_MEMBERS(damper::SecondRate, 2, rate, from)
VALVE_MEMBERS(damper::MainSpring, 3, rate, preload, second)
VALVE_MEMBERS(damper::OilColumn, 5, tube, inside, length, spring_volume, spring_length)
VALVE_MEMBERS(damper::Leg, 6, chamber_volume, oil_volume, diameter, pressure, exponent, column)
VALVE_MEMBERS(damper::EndSpring, 2, rate, length)
VALVE_MEMBERS(damper::LinkageTable, 2, wheel_travel, travel)
VALVE_MEMBERS(damper::Load, 6, sprung_mass, rider_mass, rider_share, rake, motion_ratio, linkage)
VALVE_MEMBERS(damper::Support, 8, spring, leg, top_out, stop, friction, breakaway, legs, load)
VALVE_MEMBERS(damper::SetUp, 6, title, oil, cartridge, reservoir, valves, support)
VALVE_MEMBERS(damper::CurveOptions, 4, speeds, travel, rod_into, top_speed)
VALVE_MEMBERS(damper::SupportGoal, 3, sag, free_sag, end_force)
VALVE_MEMBERS(damper::Bounds, 2, low, high)
VALVE_MEMBERS(damper::Buildable, 3, rate, preload, oil)
VALVE_MEMBERS(damper::MeasuredPoint, 4, speed, force, count, way)
VALVE_MEMBERS(damper::MeasuredRun, 2, kind, points)
VALVE_MEMBERS(motion::Tyre, 3, rate, damping, radius)
VALVE_MEMBERS(motion::Vehicle, 2, unsprung, tyre)
VALVE_MEMBERS(motion::Event, 16, title, kind, speed, duration, at, height, length, pitch, count, slope,
              load_transfer, transfer_time, roughness, seed, distance, heights)
VALVE_MEMBERS(motion::CycleOptions, 12, rod_into, relative_error, pressure_error, energy_error,
              periodic_within, lead_in, least_loops, most_loops, most_steps, samples, stop, progress)
VALVE_MEMBERS(motion::RideOptions, 11, relative_error, pressure_error, length_error, speed_error,
              energy_error, solved_within, highest_order, most_steps, samples, stop, progress)

/// Calls `visit(path, number)` for every number below `value`, doubles, ints and longs, and `visit(path)` for
/// every optional that is not set. Elements of a list share their path. A seed is no number that could be
/// poor.
template <class Value, class Visitor>
void walk(const std::string& path, Value& value, Visitor& visit);

namespace detail {

inline std::string below(const std::string& path, const char* name) {
    return path.empty() ? name : path + "." + name;
}

template <class Visitor, class... Members>
void walk_members(const std::string& path, const std::tuple<Members...>& members, Visitor& visit) {
    std::apply([&](const auto&... member) { (walk(below(path, member.name), member.value, visit), ...); },
               members);
}

/// What stops a run and what is told of it are no numbers.
template <class T>
constexpr bool is_of_a_run =
    std::is_same_v<T, std::stop_token> || std::is_same_v<T, std::function<void(double)>>;

template <class T>
struct Walk {
    template <class Visitor>
    static void over(const std::string& path, T& value, Visitor& visit) {
        if constexpr (std::is_same_v<T, double> || std::is_same_v<T, int> || std::is_same_v<T, long>) {
            visit(path, value);
        } else if constexpr (!std::is_enum_v<T> && !std::is_arithmetic_v<T> &&
                             !std::is_same_v<T, std::string> && !is_of_a_run<T>) {
            walk_members(path, members(value), visit);
        }
    }
};

template <class T>
struct Walk<std::optional<T>> {
    template <class Visitor>
    static void over(const std::string& path, std::optional<T>& value, Visitor& visit) {
        if (value)
            walk(path, *value, visit);
        else
            visit(path);
    }
};

template <class T>
struct Walk<std::vector<T>> {
    template <class Visitor>
    static void over(const std::string& path, std::vector<T>& values, Visitor& visit) {
        for (T& value : values)
            walk(path, value, visit);
    }
};

template <class T, std::size_t n>
struct Walk<std::array<T, n>> {
    template <class Visitor>
    static void over(const std::string& path, std::array<T, n>& values, Visitor& visit) {
        for (T& value : values)
            walk(path, value, visit);
    }
};

template <class... T>
struct Walk<std::variant<T...>> {
    template <class Visitor>
    static void over(const std::string& path, std::variant<T...>& value, Visitor& visit) {
        const std::string which = path + "[" + std::to_string(value.index()) + "]";
        std::visit([&](auto& one) { walk(which, one, visit); }, value);
    }
};

template <>
struct Walk<std::map<double, double>> {
    template <class Visitor>
    static void over(const std::string& path, std::map<double, double>& values, Visitor& visit) {
        std::vector<std::pair<double, double>> pairs(values.begin(), values.end());
        for (auto& [key, value] : pairs) {
            visit(path + ".key", key);
            visit(path + ".value", value);
        }
        values = {pairs.begin(), pairs.end()};
    }
};

} // namespace detail

template <class Value, class Visitor>
void walk(const std::string& path, Value& value, Visitor& visit) {
    detail::Walk<Value>::over(path, value, visit);
}

} // namespace valve::testing
