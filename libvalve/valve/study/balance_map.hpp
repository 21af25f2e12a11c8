#pragma once

#include <valve/damper/steady.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/lead.hpp>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace valve::study {

struct BalanceMapOptions {
    std::vector<double> speeds = {};  ///< both ways [m/s]; empty: ±0.25, 0.5, 1, 2, 3, 4
    std::vector<double> travels = {}; ///< from full extension [m]; empty: 5, 25, 50, 75, 95 %
    damper::RodInto rod_into = damper::RodInto::atmosphere;
    double top_speed = damper::usual_top_speed; ///< of the search for voids [m/s]
    double lead_at = 3.0; ///< speed at which the base valve should lead, at mid travel [m/s]
};

/// Which valve leads, and which chamber is short of pressure, over speed and travel.
struct BalanceMap {
    std::string file;
    setup::Reading reading;
    BalanceMapOptions options;         ///< with the defaults filled in
    std::vector<damper::Curve> curves; ///< by travel, the points in the order of the speeds
    std::optional<Lead> lead;          ///< none where the set-up cannot be solved there
    std::string lead_error;

    /// Some point has no solution, or a search broke off.
    bool failed() const;
};

/// Solves the map of a file, and where the mid-valve leads at `lead_at`, looks for single changes that would
/// mend it. Throws InputError for a file with one valve alone or a travel outside the damper's, SolveError
/// where a stack has no lift curve.
BalanceMap balance_map(std::string file, setup::Reading reading, const BalanceMapOptions& options,
                       damper::LiftCache& lifts);

/// Whether the map is judged by the balance margin; else by the headroom of the rod side.
bool judged_by_margin(const BalanceMap& map);

/// A point of the map.
struct MapPoint {
    const damper::SteadyPoint* point; ///< of the map
    double travel = 0.0;              ///< [m]
};

/// The solved point of compression with the least headroom of R; none where no point was solved.
std::optional<MapPoint> least_headroom(const BalanceMap& map);

} // namespace valve::study
