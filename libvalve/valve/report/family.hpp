#pragma once

#include <valve/report/curve.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// One key at several values, in the order asked.
struct Sweep {
    std::string name;  ///< of the adjuster, or the key itself
    std::string key;   ///< dotted
    std::string steps; ///< "clicks", "turns"; empty where the settings have their unit
    std::vector<std::string> settings;
};

/// The curves of a damper along a sweep.
struct Family {
    Sweep sweep;
    std::vector<CurveResult> members; ///< by setting, one at least

    /// Some point has no solution, or a search for voids broke off.
    bool failed() const;
};

/// Solves the set-ups in `documents`, one a setting of `sweep`. Throws InputError for a document that cannot
/// be read or holds no damper, SolveError where a stack has no lift curve, std::invalid_argument unless there
/// are as many documents as settings.
Family family(const std::vector<setup::Document>& documents, Sweep sweep, const damper::CurveOptions& options,
              damper::LiftCache& lifts);

Json json(const Family& family);

/// The points of all members, each with its setting.
Json points(const Family& family);

/// Damping force over speed with a column a setting, one table a direction; then where chambers run empty.
std::string text(const Family& family);

} // namespace valve::report
