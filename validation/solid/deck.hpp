#pragma once

#include <solid/writer.hpp>

#include <string>
#include <vector>

namespace valve::validation::solid {

/// Every two shims with nothing but smaller ones between them, and the seat with the face shim.
std::vector<ContactPair> contact_pairs(const Mesh& mesh);

/// Input deck of CalculiX, in mm, N and MPa. The first load raises the seat where it stands proud, or
/// preloads a floated stack by a constant force on its bore; one for each of `pressures` [Pa] follows. Every
/// step has the length 1 and prints, at its end and for a sector of 2°, the displacement of the nodes watched
/// and the forces of contact.
std::string deck(const stack::Stack& stack, const Mesh& mesh, const std::vector<double>& pressures,
                 const Fineness& fineness);

/// Nodes watched, at mid-thickness: of the face shim over the seat, and of the last shim at its inner edge.
int seat_node(const stack::Stack& stack, const Mesh& mesh);
int ring_node(const Mesh& mesh);

} // namespace valve::validation::solid
