#pragma once

#include <valve/report/json.hpp>
#include <valve/setup/read.hpp>

#include <string>
#include <vector>

namespace valve::report {

/// A valve under the name that the file gives it: "base.refill"; "valve" for one alone.
struct NamedValve {
    std::string name;
    const flow::Valve* valve; ///< part of the reading
};

std::vector<NamedValve> valves_of(const setup::Reading& reading);

/// What was found of each valve of `file`: the keys of its one valve, or several under "valves".
Json by_valve(const std::string& file, const setup::Reading& reading, const std::vector<Json>& valves);

/// The damper that `file` describes. Throws InputError for a file with one valve alone.
const damper::SetUp& unit_of(const std::string& file, const setup::Reading& reading);

} // namespace valve::report
