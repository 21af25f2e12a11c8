#pragma once

#include <valve/setup/document.hpp>
#include <valve/setup/read.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::study {

/// What a mechanic sets or measures.
enum class BenchItem {
    seat_height,      ///< above the hub face [m]
    float_travel,     ///< [m]
    coil_rate,        ///< over the float [N/m]
    coil_preload,     ///< on the closed plate [N]
    adjuster,         ///< clicks or turns out
    viscosity,        ///< kinematic, of the oil at 40 °C [m²/s]
    reservoir_rate,   ///< of its spring [N/m]
    reservoir_spring, ///< force of its spring at full extension [N]
    gas_charge,       ///< fully extended, gauge [Pa]
    gas_volume,       ///< at full extension [m³]
    oil_volume,       ///< of each leg [m³]
    oil_level,        ///< from the top of each leg, compressed, spring out [m]
    leg_pressure,     ///< at full extension, gauge [Pa]
    spring_rate,      ///< of each leg or the shock [N/m]
    spring_preload,   ///< at full extension [m]
};

/// One number that the mechanic sets or measures.
struct BenchFigure {
    BenchItem item = BenchItem::float_travel;
    std::string place = {}; ///< valve or adjuster: "piston.compression"; empty: of the unit
    double value = 0.0;     ///< [SI]
    std::optional<double> as_found = std::nullopt; ///< where the unit as found has this figure
    bool is_new = false;                           ///< the unit as found has no such figure

    std::optional<double> sleeve = std::nullopt; ///< under the stop, that gives a float [m]
    double shims_height = 0.0;                   ///< of the shims on that sleeve [m]
    bool has_adjuster = false;                   ///< of a coil: its force is that at the turns set
    double range = 0.0;                          ///< of an adjuster
    std::string steps = {};                      ///< of an adjuster: "clicks", "turns"
    bool each_leg = false;                       ///< there are two

    /// Whether the bench has to do something: the figure differs from the unit as found.
    bool changed() const { return is_new || (as_found && *as_found != value); }
};

/// One valve's shims in the order they go on, from the piston face.
struct BenchStack {
    std::string valve;
    const flow::Valve* built = nullptr;         ///< part of the reading
    const flow::Valve* found = nullptr;         ///< where there is one to compare with, part of its reading
    bool is_new = false;                        ///< the unit as found has no such valve
    std::vector<setup::Difference> others = {}; ///< what else of the valve differs

    bool other_shims() const;
    bool changed() const { return is_new || other_shims() || !others.empty(); }
};

/// The kind of reservoir, where there is a unit.
struct BenchReservoir {
    damper::ReservoirKind built = damper::ReservoirKind::spring_piston;
    std::optional<damper::ReservoirKind> found = std::nullopt; ///< where it is another
};

/// One page for the bench.
struct BuildSheet {
    std::vector<BenchStack> stacks;
    std::vector<BenchFigure> figures;
    std::optional<BenchReservoir> reservoir;
    std::vector<std::string> valves_out;    ///< that the unit as found has alone
    std::vector<BenchFigure> comes_out;     ///< figures that the unit as found has alone
    std::vector<setup::Difference> changes; ///< from the unit as found
};

/// The sheet of `built`, with what differs from `found` (none: nothing is marked). Both readings must
/// outlive the sheet; `changes` as differences() gives them.
BuildSheet build_sheet(const setup::Reading& built, const setup::Reading* found,
                       std::vector<setup::Difference> changes);

} // namespace valve::study
