#pragma once

#include <valve/core/constants.hpp>
#include <valve/core/error.hpp>
#include <valve/flow/spec.hpp>

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace valve::damper {

enum class Layout { closed_cartridge, open_cartridge, monotube, twin_tube };
inline constexpr std::array<Layout, 4> all_layouts{Layout::closed_cartridge, Layout::open_cartridge,
                                                   Layout::monotube, Layout::twin_tube};

/// Name as in a set-up file: "closed_cartridge".
constexpr std::string_view name(Layout layout) {
    constexpr std::array<std::string_view, 4> names{"closed_cartridge", "open_cartridge", "monotube",
                                                    "twin_tube"};
    return names.at(static_cast<std::size_t>(layout));
}

/// Annular gap between piston ring and bore.
struct RingLeak {
    double gap = 0.0;          ///< radial [m]
    double length = 0.0;       ///< [m]
    double eccentricity = 0.0; ///< 0 concentric … 1 touching [-]

    bool operator==(const RingLeak&) const = default;
};

/// A plug that enters a close cup over the last part of a stroke and has to press the cup's oil out through
/// the gap round it, and through a hole where there is one. The gap is widest when the plug enters.
struct EndCup {
    double plug = 0.0;                         ///< diameter at its thick end [m]
    double length = 0.0;                       ///< of the travel over which it is in the cup [m]
    double gap = 0.0;                          ///< radial, at its thick end [m]
    double entry_gap = 0.0;                    ///< radial, at its tip [m]; equal to gap for a straight plug
    std::optional<double> hole = std::nullopt; ///< diameter of the hole in cup or plug [m]
    flow::BleedWays ways = flow::BleedWays::both; ///< one: a check lets oil into the cup as the plug leaves
    double discharge = 0.70;   ///< of the hole, and of the slot at the mouth of the cup [-]
    double transition = 500.0; ///< flow number at which the hole turns laminar [-]

    bool operator==(const EndCup&) const = default;
};

/// Tube, rod and travel.
struct Cartridge {
    Layout layout = Layout::closed_cartridge;
    double bore = 0.0;   ///< diameter [m]
    double rod = 0.0;    ///< diameter [m]
    double travel = 0.0; ///< [m]
    std::optional<RingLeak> ring_leak = std::nullopt;
    double dead_length_C = 0.030;                       ///< oil column left in C at full compression [m]
    double dead_length_R = 0.030;                       ///< oil column left in R at full extension [m]
    std::optional<EndCup> end_of_stroke = std::nullopt; ///< in C, next to full compression
    std::optional<EndCup> top_out = std::nullopt;       ///< in R round the rod, next to full extension

    bool operator==(const Cartridge&) const = default;
};

enum class ReservoirKind { spring_piston, bladder, gas_piston, leg };
inline constexpr std::array<ReservoirKind, 4> all_reservoir_kinds{
    ReservoirKind::spring_piston, ReservoirKind::bladder, ReservoirKind::gas_piston, ReservoirKind::leg};

/// Name as in a set-up file: "spring_piston".
constexpr std::string_view name(ReservoirKind kind) {
    constexpr std::array<std::string_view, 4> names{"spring_piston", "bladder", "gas_piston", "leg"};
    return names.at(static_cast<std::size_t>(kind));
}

/// What takes up the oil that the rod displaces. Which members count depends on `kind`.
struct Reservoir {
    ReservoirKind kind = ReservoirKind::spring_piston;
    double diameter = 0.0;                         ///< of the piston [m]
    double spring_rate = 0.0;                      ///< [N/m]
    double preload = 0.0;                          ///< [N]
    double friction = 0.0;                         ///< seal friction of the piston [N]
    double mass = 0.0;                             ///< of the piston, in time [kg]; none: it follows at once
    double back_pressure = p_atm;                  ///< behind a spring-backed piston, absolute [Pa]
    double gas_volume = 0.0;                       ///< at full extension [m³]
    double gas_pressure = p_atm;                   ///< at full extension and oil temperature, absolute [Pa]
    double exponent = 1.4;                         ///< polytropic [-]
    std::optional<double> stroke = std::nullopt;   ///< of the piston, from full extension to its end stop [m]
    std::optional<double> capacity = std::nullopt; ///< oil it can take in from full extension [m³]

    bool operator==(const Reservoir&) const = default;
};

/// The four places a damper can have a valve.
enum class Place { base_compression, base_refill, piston_compression, piston_rebound };
inline constexpr std::array<Place, 4> all_places{Place::base_compression, Place::base_refill,
                                                 Place::piston_compression, Place::piston_rebound};

/// Name as in a set-up file: "base.compression".
constexpr std::string_view name(Place place) {
    constexpr std::array<std::string_view, 4> names{"base.compression", "base.refill", "piston.compression",
                                                    "piston.rebound"};
    return names.at(static_cast<std::size_t>(place));
}

/// The valves of a damper; a place may stay empty.
struct Valves {
    std::array<std::optional<flow::Valve>, 4> at_place;

    std::optional<flow::Valve>& operator[](Place place) {
        return at_place.at(static_cast<std::size_t>(place));
    }
    const std::optional<flow::Valve>& operator[](Place place) const {
        return at_place.at(static_cast<std::size_t>(place));
    }

    bool operator==(const Valves&) const = default;
};

/// The rate that a dual-rate spring goes over to.
struct SecondRate {
    double rate = 0.0; ///< [N/m]
    double from = 0.0; ///< travel at which it takes over [m]

    bool operator==(const SecondRate&) const = default;
};

/// Main spring of one leg, or of the shock.
struct MainSpring {
    double rate = 0.0;    ///< [N/m]
    double preload = 0.0; ///< compression at full extension [m]
    std::optional<SecondRate> second = std::nullopt;

    bool operator==(const MainSpring&) const = default;
};

/// The space in which the oil level of a leg is measured, and the spring that may stand in it.
struct OilColumn {
    double tube = 0.0;          ///< inner diameter of the tube [m]
    double inside = 0.0;        ///< diameter of what stands in it, the spring apart [m]
    double length = 0.0;        ///< from the top down, over which these hold [m]
    double spring_volume = 0.0; ///< of the spring's steel [m³]
    double spring_length = 0.0; ///< that the spring fills, when in [m]

    bool operator==(const OilColumn&) const = default;
};

/// Air and oil in the leg around a cartridge.
struct Leg {
    double chamber_volume = 0.0; ///< air and oil at full extension [m³]
    double oil_volume = 0.0;     ///< [m³]
    double diameter = 0.0;       ///< sealing diameter of the leg [m]
    double pressure = p_atm;     ///< at full extension, absolute [Pa]
    double exponent = 1.3;       ///< polytropic [-]
    std::optional<OilColumn> column = std::nullopt;

    bool operator==(const Leg&) const = default;
};

/// A linear spring that acts over part of the travel: next to full extension or next to full compression.
struct EndSpring {
    double rate = 0.0;   ///< [N/m]
    double length = 0.0; ///< of the travel over which it acts [m]

    bool operator==(const EndSpring&) const = default;
};

/// The travel of a shock against that of its wheel, point by point; see damper/linkage.hpp.
struct LinkageTable {
    std::vector<double> wheel_travel; ///< rising from 0 [m]
    std::vector<double> travel;       ///< of the unit, rising from 0 [m]

    bool operator==(const LinkageTable&) const = default;
};

/// What one wheel carries, and how its travel moves the fork or the shock: just one of rake, motion ratio and
/// linkage.
struct Load {
    double sprung_mass = 0.0;                           ///< of the vehicle without rider, on this wheel [kg]
    double rider_mass = 0.0;                            ///< of the whole rider with gear [kg]
    double rider_share = 0.0;                           ///< of the rider's mass that this wheel carries [-]
    std::optional<double> rake = std::nullopt;          ///< of a fork, from the vertical [rad]
    std::optional<double> motion_ratio = std::nullopt;  ///< of a shock: its travel by the wheel's [-]
    std::optional<LinkageTable> linkage = std::nullopt; ///< of a shock; `vehicle.linkage` in a file

    bool operator==(const Load&) const = default;
};

/// Static support of the vehicle: springs, leg air, friction; each of one leg.
struct Support {
    std::optional<MainSpring> spring;
    std::optional<Leg> leg;
    std::optional<EndSpring> top_out = std::nullopt; ///< pulls in at full extension
    std::optional<EndSpring> stop = std::nullopt;    ///< pushes out at full compression
    double friction = 0.0;                           ///< Coulomb, of bushings and seals, sliding [N]
    double breakaway = 0.0;                          ///< the same at rest, not less [N]
    int legs = 1;                                    ///< how many legs carry the wheel
    std::optional<Load> load = std::nullopt;

    bool operator==(const Support&) const = default;
};

/// A complete unit: everything a set-up file says about one damper.
struct SetUp {
    std::string title;
    flow::Oil oil;
    Cartridge cartridge;
    Reservoir reservoir;
    Valves valves;
    std::optional<Support> support;

    bool operator==(const SetUp&) const = default;
};

/// Values that cannot work or are unlikely to be meant, of the whole set-up, its oil and valves included;
/// keys as in a set-up file ("valves.base.refill.seat.outer").
Findings check(const SetUp& setup);

} // namespace valve::damper
