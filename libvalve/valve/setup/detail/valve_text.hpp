#pragma once

#include <valve/flow/spec.hpp>
#include <valve/setup/keys.hpp>

#include <optional>

namespace valve::setup {

/// Ports as written: holes of an area or a diameter, or kidney windows.
struct PortsText {
    int count = 0;
    std::optional<double> area, diameter;                  // [m²], [m]
    std::optional<double> inner_radius, outer_radius, arc; // [m], [m], [rad]
    std::optional<double> length;                          // [m]
};

struct BleedText {
    std::optional<flow::Needle> needle;
    std::optional<double> hole;  // diameter [m]
    std::optional<int> count;    // of holes
    std::optional<double> area;  // [m²]
    std::optional<double> depth; // of notches [m]
    flow::BleedWays ways = flow::BleedWays::both;
};

struct FloatText {
    stack::Float known;                           // what is read straight into its place
    std::optional<double> travel, sleeve;         // [m]
    std::optional<double> at, spring_at, stop_at; // radii [m]
};

/// A valve as written; what follows from other keys is filled in by read_valve().
struct ValveText {
    flow::Valve known; // what is read straight into its place
    plate::Material material;
    std::optional<PortsText> ports;
    std::optional<double> clamp_radius, bore_radius; // [m]
    std::optional<stack::InnerEdge> edge;
    std::optional<FloatText> floating;
    std::optional<BleedText> bleed;
    std::optional<double> coverage;
};

/// Which parts a valve has, for what is required of it and which defaults count.
struct ValveParts {
    bool needs_ports = true;
    bool has_ports = true;
    bool has_shims = true;
};

/// The keys of a valve, bound to `text`.
Keys valve_keys(ValveText& text, const ValveParts& parts);

} // namespace valve::setup
