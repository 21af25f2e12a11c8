#pragma once

#include <solid/mesh.hpp>

#include <filesystem>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace valve::validation::solid {

/// A stack that CalculiX shall solve.
struct Job {
    std::string name; ///< of its files
    stack::Stack stack;
    std::vector<double> pressures; ///< [Pa]
    Fineness fineness;
};

/// What CalculiX makes of a stack at one pressure.
struct SolidPoint {
    double pressure = 0.0;   ///< [Pa]
    double seat_lift = 0.0;  ///< of the face shim's mid-surface at the seat [m]
    double ring_lift = 0.0;  ///< of the last shim's mid-surface at its inner edge [m]
    double seat_force = 0.0; ///< of the seat on the face shim, along the axis [N]
    std::map<std::pair<int, int>, double>
        contact_forces; ///< along the axis, by the numbers of lower and upper shim [N]
};

/// Writes the decks into `folder`, has ccx solve them, two at a time, and reads the results: by the name of
/// the job, its points without pressure (only where there is preload) and at its pressures. Throws
/// std::runtime_error where ccx is missing or fails.
std::map<std::string, std::vector<SolidPoint>> solve(const std::vector<Job>& jobs,
                                                     const std::filesystem::path& folder);

} // namespace valve::validation::solid
