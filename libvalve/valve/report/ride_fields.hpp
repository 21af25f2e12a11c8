#pragma once

#include <valve/report/field.hpp>
#include <valve/study/ride.hpp>

#include <span>
#include <string_view>

namespace valve::report {

/// What a ride's summary holds but for its lists and energies, in the order of its JSON.
Fields<study::RideFigures> ride_fields();

/// Where the energy of a ride went: a row for each member of motion::RideLosses [J].
struct EnergyPart {
    std::string_view name; ///< as in JSON and tables: "base.refill", "tyre"
    double (*value)(const study::RideFigures&);
};
std::span<const EnergyPart> energy_parts();

} // namespace valve::report
