#pragma once

#include <valve/plate/edge.hpp>

#include <vector>

namespace valve::plate {

/// How an annulus is divided into elements.
struct Grading {
    int elements = 40;       ///< wanted in all; every piece between two edges gets at least one
    double inner_size = 0.2; ///< element size at the inner radius as a fraction of that at the outer [-]
    double merge_distance = same_edge; ///< edges closer than this become one [m]
};

/// Node radii [m] from the innermost to the outermost of `edges`, rising, with a node on every edge. Elements
/// grow linearly with the distance from the inner radius, where a clamped plate bends most.
/// Throws std::invalid_argument unless the edges span more than `merge_distance` and the inner one is
/// positive.
std::vector<double> graded_nodes(std::vector<double> edges, const Grading& grading = {});

/// Index of the node at `radius`. Throws std::invalid_argument if none lies within `merge_distance`.
int node_at(const std::vector<double>& nodes, double radius,
            double merge_distance = Grading{}.merge_distance);

} // namespace valve::plate
