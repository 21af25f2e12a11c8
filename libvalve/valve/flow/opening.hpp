#pragma once

#include <valve/flow/spec.hpp>

#include <optional>

namespace valve::flow {

/// What a restriction needs to know of a passage's shape.
struct Opening {
    double area = 0.0;               ///< [m²]
    double hydraulic_diameter = 0.0; ///< [m]
};

double circle_area(double diameter); ///< [m²]

/// All ports of a valve; the hydraulic diameter is that of a round hole with the area of one port.
Opening opening(const Ports& ports);

/// Length of the ports whose oil a valve in time speeds up [m]: as given; else 10 mm before shims (common
/// practice, no source), and none before a disc, whose stated mass stands for all that moves with it.
double port_length(const Valve& valve);

/// Of the gap under the face shim: as given, else the ring at the seat's inner radius [m].
double curtain_length(const Valve& valve);

/// Whether that gap is as high as the mean lift over the arcs of the ports, in place of that of the whole
/// ring: seats of their own, under shims that lift unevenly.
bool opens_over_ports(const Valve& valve);

/// That gap at the lift `lift` [m]; the hydraulic diameter is twice the lift.
Opening curtain_gap(double length, double lift);

/// A bleed; none when it is shut (a needle at 0 clicks).
/// Needle of full cone angle α, drawn back by h: slant gap g = h sin(α/2), area π g (d − g cos(α/2)) up to
/// that of the bare seat, hydraulic diameter 2 g up to d. A notch counts as a round hole of its area.
std::optional<Opening> opening(const Bleed& bleed);

} // namespace valve::flow
