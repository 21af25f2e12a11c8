#pragma once

#include <solid/mesh.hpp>

#include <array>
#include <string>
#include <vector>

namespace valve::validation::solid {

/// How finely half a pitch of ports is divided round the ring.
struct Division {
    int port = 4; ///< elements from the middle of a port to its end
    int land = 3; ///< from there to half-way between two ports
};

/// One shim of half a pitch of ports, as a solid of its true thickness: a grid of nodes along the radius,
/// round the ring and through the thickness, each element with one between its ends. Numbers of nodes by
/// [radius][angle][height], 0 where there is none.
struct Slab {
    int shim = 0;                 ///< number in the stack's list, from 1
    std::vector<double> stations; ///< radii of the elements' ends [m]
    std::vector<std::vector<std::array<int, 3>>> grid;
    int first_element = 0;
};

/// The bending shims of a clamped stack from the middle of a port to half-way between two, a half of the N-th
/// part of the ring. The axis is y, so that what is read of axisymmetric models is read here; x points to the
/// middle of the port, and the angle turns towards −z. Nodes and elements are numbered from 1.
struct Sector {
    std::vector<std::array<double, 3>> nodes;  ///< [m]
    std::vector<std::array<int, 20>> elements; ///< C3D20
    std::vector<Slab> shims;                   ///< from the face shim
    Division division;

    int round() const { return division.port + division.land; } ///< elements round the ring

    /// Element of a slab by its place along the radius and round the ring.
    int element(const Slab& slab, int radial, int angular) const {
        return slab.first_element + radial * round() + angular;
    }
};

/// Throws std::invalid_argument unless the stack is clamped, has windows, a knife-edge seat no higher than
/// the hub, and shims of one material.
Sector make_sector(const stack::Stack& stack, const Fineness& fineness, const Division& division);

/// Nodes at mid-thickness of the face shim over the seat: at the middle of a port, and half-way between two.
std::array<int, 2> seat_nodes(const stack::Stack& stack, const Sector& sector);

/// Input deck of CalculiX as deck(), for the sector: without seat, pressure on the port's part of the zone.
std::string deck(const stack::Stack& stack, const Sector& sector, const std::vector<double>& pressures,
                 const Fineness& fineness);

/// The same, with a last step that asks how many times `step` [Pa] more, as a linear problem, make the stack
/// buckle.
std::string buckling_deck(const stack::Stack& stack, const Sector& sector,
                          const std::vector<double>& pressures, double step, const Fineness& fineness);

} // namespace valve::validation::solid
