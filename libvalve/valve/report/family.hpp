#pragma once

#include <valve/report/curve.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// One key at several values, in the order asked; or several ways in which a damper can be.
struct Sweep {
    std::string name;  ///< of the adjuster, or the key itself
    std::string key;   ///< dotted; empty where it is not one key that changes
    std::string steps; ///< "clicks", "turns"; empty where it is no adjuster
    std::vector<std::string> settings;
    std::string unit = {};       ///< of settings that are bare numbers: "mm"
    std::string assumption = {}; ///< what the sweep takes for granted
};

/// The unit in which settings of the dotted `key` are read that have none of their own; empty where one has,
/// or the key has no unit. Settings of an unknown key are left to the reader of the file.
std::string unit_of_settings(const std::string& key, const std::vector<std::string>& settings);

/// The curves of a damper along a sweep.
struct Family {
    Sweep sweep;
    std::vector<study::CurveResult> members; ///< by setting, one at least

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

/// Damping force over speed with a column a setting, one table a direction; then where chambers run empty,
/// and what ports and shims have to say.
std::string text(const Family& family);

} // namespace valve::report
