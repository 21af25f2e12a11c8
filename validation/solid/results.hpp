#pragma once

#include <filesystem>
#include <map>
#include <string>
#include <utility>
#include <vector>

namespace valve::validation::solid {

/// What CalculiX printed at the end of one step, in the units of its deck.
struct StepResult {
    std::map<int, double> axial; ///< displacement of the watched nodes along z, by node [mm]
    std::map<std::pair<std::string, std::string>, double>
        contact; ///< along z on the slave, by slave and master, on the sector printed [N]
};

/// Reads the .dat file of a deck with `steps` steps. Throws std::runtime_error when it cannot be read or a
/// step is missing.
std::vector<StepResult> read_results(const std::filesystem::path& file, int steps);

/// The lowest buckling factor in a .dat file. Throws std::runtime_error when there is none.
double read_buckling_factor(const std::filesystem::path& file);

} // namespace valve::validation::solid
