#pragma once

#include <valve/report/json.hpp>
#include <valve/setup/document.hpp>
#include <valve/setup/read.hpp>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace valve::report {

/// What kind of number a bench figure is.
enum class Measure { length, volume, pressure, force, rate, viscosity, count };

/// One number that the mechanic sets or measures.
struct BenchFigure {
    std::string what; ///< "float to measure, piston.compression"
    Measure measure = Measure::length;
    double value = 0.0;                            ///< SI; a pressure is gauge
    std::string note;                              ///< how to set it; may be empty
    std::optional<double> as_found = std::nullopt; ///< where the unit as found has this figure

    /// The value differs from the one as found.
    bool changed() const { return as_found && *as_found != value; }
};

/// One valve's shims in the order they go on, from the piston face.
struct BenchStack {
    std::string valve;
    const flow::Valve* built = nullptr; ///< part of the reading
    std::string as_found;               ///< as a set-up file writes the shims; empty unless they differ
};

/// One page for the bench.
struct BuildSheet {
    std::vector<BenchStack> stacks;
    std::vector<BenchFigure> figures;
    std::vector<setup::Difference> changes; ///< from the unit as found
};

/// The sheet of `built`, with what differs from `found` (none: nothing is marked). Both readings must
/// outlive the sheet; `changes` as differences() gives them.
BuildSheet build_sheet(const setup::Reading& built, const setup::Reading* found,
                       std::vector<setup::Difference> changes);

Json json(const BuildSheet& sheet);

} // namespace valve::report
