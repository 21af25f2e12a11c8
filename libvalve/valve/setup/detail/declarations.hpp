#pragma once

#include <valve/damper/spec.hpp>
#include <valve/motion/event.hpp>
#include <valve/motion/vehicle.hpp>
#include <valve/setup/drawer.hpp>
#include <valve/setup/goal.hpp>
#include <valve/setup/keys.hpp>
#include <valve/setup/placed_text.hpp>
#include <valve/setup/rider_words.hpp>

#include <functional>
#include <optional>
#include <string>

namespace valve::setup {

/// What the keys of a vehicle fill.
struct VehicleText {
    motion::Vehicle known;
    std::optional<damper::LinkageTable> linkage; ///< of the load: a file has it beside wheel and tyre
};

/// What a file with a whole unit fills, with the keys of its top level.
struct UnitText {
    damper::SetUp setup;
    std::optional<VehicleText> vehicle;
    std::string note;
    std::string result;
};

/// What a file with one valve alone fills.
struct LoneValveText {
    std::string title;
    std::optional<flow::Oil> oil;
    flow::Valve valve;
    std::string note;
    std::string result;
};

/// The keys of the top level, bound to `text`.
Keys unit_keys(UnitText& text);
Keys lone_valve_keys(LoneValveText& text);

/// What the keys of an event fill.
struct EventText {
    motion::Event event;
    std::optional<double> roughness; ///< [m³]
    std::optional<char> road_class;
    std::optional<PlacedText> profile; ///< a file
    std::string columns;
    int seed = 1;
};

/// The key below which each further file says what it is for. Files named in goals and words are found
/// beside theirs, whose path the struct holds.
Key event_key(EventText& text);
Key goal_key(Goal& goal);
Key drawer_key(Drawer& drawer);
Key words_key(RiderWords& words);

/// Reads the valve at the dotted key `path`. `needs_ports` is false for a valve alone, which may be plates
/// only: then ports.count is 0.
flow::Valve read_valve(const Node& node, const std::string& path, Reader& reader, bool needs_ports);

// Ranges that gas has wherever it stands.
inline constexpr Range gas_exponents = from_to(1.0, 1.67);    // isothermal … adiabatic, one-atom gas
inline constexpr Range gas_pressures = from_to(-0.9, 200.0);  // gauge [bar]
inline constexpr Range volumes = above_to(0.0, 20000.0);      // [ml]
inline constexpr Range unit_diameters = above_to(0.0, 300.0); // [mm]

/// Reads the support at the dotted key `path` of a unit with `cartridge`.
damper::Support read_support(const Node& node, const std::string& path, const damper::Cartridge& cartridge,
                             Reader& reader);

/// Reads the vehicle at the dotted key `path`; none where the map is empty.
std::optional<VehicleText> read_vehicle(const Node& node, const std::string& path, Reader& reader);

/// Makes the keys of a vehicle that is only there for the reference.
std::function<Keys()> vehicle_reference_keys();

/// Makes the keys of a support that is only there for the reference.
std::function<Keys()> support_reference_keys();

/// Makes the keys of a valve that is only there for the reference.
std::function<Keys()> valve_reference_keys();

} // namespace valve::setup
