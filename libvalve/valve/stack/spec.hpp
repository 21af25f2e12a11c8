#pragma once

#include <valve/core/error.hpp>
#include <valve/plate/material.hpp>

#include <optional>
#include <vector>

namespace valve::stack {

/// One shim. A shim no larger than the clamp is a spacer.
struct Shim {
    double outer_radius = 0.0; ///< [m]
    double thickness = 0.0;    ///< [m]
    plate::Material material;

    bool operator==(const Shim&) const = default;
};

/// The land that the face shim closes on; `height` above the hub face preloads a clamped stack.
struct Seat {
    double inner_radius = 0.0; ///< [m]
    double outer_radius = 0.0; ///< [m]; equal to inner_radius for a knife edge
    double height = 0.0;       ///< [m]

    bool operator==(const Seat&) const = default;
};

/// Where the pressure works on the face shim.
struct Zone {
    double inner_radius = 0.0; ///< [m]
    double outer_radius = 0.0; ///< [m]; should equal the seat's inner radius

    bool operator==(const Zone&) const = default;
};

/// What holds the inner edge of the shims.
enum class InnerEdge {
    clamped, ///< w = w' = u = 0
    free,    ///< no moment, no radial force
    guided   ///< w' = u = 0, w follows the float
};

/// What carries the inner ring of a closed floated stack.
enum class RestsOn { hub, seat };

/// Turns the seat of a float's spring in, for more preload.
struct SpringAdjuster {
    double turns = 0.0;    ///< setting, counted out from fully in [-]
    double per_turn = 0.0; ///< what one turn compresses the spring [m]
    double range = 0.0;    ///< turns from fully in to fully out [-]

    bool operator==(const SpringAdjuster&) const = default;
};

/// A stack that lifts off the piston as a whole, against a spring, until a stop.
struct Float {
    double travel = 0.0;        ///< [m]
    double spring_rate = 0.0;   ///< [N/m]
    double preload = 0.0;       ///< spring force with the stack on its hub [N]
    double ring_radius = 0.0;   ///< ring whose deflection is the float [m]
    double spring_radius = 0.0; ///< ring where the spring pushes on the last shim [m]
    double stop_radius = 0.0;   ///< ring where the last shim meets the stop [m]
    RestsOn rests_on = RestsOn::hub;
    std::optional<SpringAdjuster> adjuster = std::nullopt; ///< that set a part of `preload`

    bool operator==(const Float&) const = default;
};

/// A coil-loaded disc too stiff to bend, in place of shims.
struct Disc {
    double outer_radius = 0.0; ///< [m]
    double mass = 0.0;         ///< [kg]

    bool operator==(const Disc&) const = default;
};

/// A shim stack on its seat. Shims are listed from the piston face: shims[0] is the face shim.
struct Stack {
    std::vector<Shim> shims;
    std::optional<Disc> disc;  ///< then `shims` is empty and `floating` holds its coil
    double clamp_radius = 0.0; ///< [m]; of a floated stack the ring that floats
    double bore_radius = 0.0;  ///< where the metal of a floated stack ends [m]
    Zone zone;
    double coverage = 1.0; ///< fraction of the ring that the ports open [-]
    int windows = 0; ///< openings of one arc each, evenly round the ring; 0: the whole ring, or unknown [-]
    Seat seat;
    InnerEdge edge = InnerEdge::clamped;
    std::optional<Float> floating; ///< none: clamped

    bool operator==(const Stack&) const = default;
};

/// Thickness of shims that lie on each other, spacers included [m].
double height_of(const std::vector<Shim>& shims);

/// Whether the clamp (or the ring that floats) covers the whole shim, which then bends nothing.
bool is_spacer(const Stack& stack, const Shim& shim);

/// Geometry that cannot work (errors) or is unlikely to be meant (warnings); keys as in a set-up file.
Findings check(const Stack& stack);

} // namespace valve::stack
