#pragma once

#include <valve/stack/spec.hpp>

#include <array>
#include <optional>
#include <vector>

namespace valve::validation::solid {

/// How finely the solid and its loading are divided, and how hard its contacts are.
struct Fineness {
    double edge_size = 0.1e-3;    ///< radial length of the elements beside every edge and the clamp [m]
    double growth = 2.0;          ///< of an element to its neighbour nearer an edge [-]
    double largest_size = 0.8e-3; ///< [m]
    double penalty = 1e16;        ///< contact pressure per overlap [Pa/m]
    int increments = 1;           ///< of each load, at least
};

/// One row of elements between two radii: a shim, or the seat. Nodes stand on the rows' bottom and top at
/// every station and half-way between stations, at mid-thickness on stations only.
struct Strip {
    int shim = 0;                 ///< number in the stack's list, from 1; 0: the seat
    std::vector<double> stations; ///< radii [m]
    std::vector<int> bottom;      ///< nodes; station k has index 2k
    std::vector<int> middle;      ///< station k has index k
    std::vector<int> top;
    int first_element = 0;

    int elements() const { return static_cast<int>(stations.size()) - 1; }
};

/// The bending shims of a stack as axisymmetric solids of their true thickness, lying on each other. Where
/// the seat stands proud of the hub, or carries a floated stack, a rigid block lies under the face shim,
/// whose inner corner is the seat's edge. Nodes and elements are numbered from 1.
struct Mesh {
    std::vector<std::array<double, 2>> nodes; ///< r, z [m]
    std::vector<std::array<int, 8>> elements; ///< corners, then mid-sides, from the inner bottom corner
    std::vector<Strip> shims;                 ///< from the face shim
    std::optional<Strip> seat;

    const Strip& face() const { return shims.front(); }
};

/// Radii of the elements' ends, from the clamp (or bore) to the outermost edge: fine at every edge, coarse
/// between [m].
std::vector<double> stations(const stack::Stack& stack, const Fineness& fineness);

/// Throws std::invalid_argument for a rigid disc, a seat that is no knife edge, ports that do not cover the
/// whole ring, shims of several materials, or a floated stack unless it rests on its seat with free edges and
/// its spring on its bore.
Mesh make_mesh(const stack::Stack& stack, const Fineness& fineness);

/// Index of the station of `strip` at `radius` [m]. Throws std::invalid_argument if there is none.
int station_at(const Strip& strip, double radius);

} // namespace valve::validation::solid
