#pragma once

#include <solid/mesh.hpp>
#include <solid/results.hpp>
#include <solid/sector.hpp>

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

/// A stack under windows that it shall solve on half a pitch of ports.
struct SectorJob {
    std::string name;
    stack::Stack stack;
    std::vector<double> pressures; ///< [Pa]
    Fineness fineness;
    Division division;
};

/// What it makes of that at one pressure: seat lift of the mid-surface [m].
struct SectorPoint {
    double pressure = 0.0; ///< [Pa]
    double mid_port = 0.0;
    double mid_land = 0.0;
};

/// Points of each sector, by the name of the job. Throws as solve().
std::map<std::string, std::vector<SectorPoint>> solve_sectors(const std::vector<SectorJob>& jobs,
                                                              const std::filesystem::path& folder);

/// For each job, by its name, the pressure at which the stack buckles into waves that both cuts of the sector
/// mirror: that of the job's last pressure, and as many times `step` [Pa] as the linear problem of buckling
/// about that state says. Throws as solve().
std::map<std::string, double> buckling_pressures(const std::vector<SectorJob>& jobs, double step,
                                                 const std::filesystem::path& folder);

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
