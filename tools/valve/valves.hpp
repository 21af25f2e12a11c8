#pragma once

#include <valve/report/json.hpp>
#include <valve/study/reading.hpp>

#include <string>
#include <vector>

/// What the commands share that look at valves one by one.
namespace program {

/// The valves of a file, or the one asked for. Throws UsageError where there is none of that name.
std::vector<valve::study::NamedValve> chosen_valves(const valve::setup::Reading& reading,
                                                    const std::string& wanted);

/// The rows that each valve has under `rows`; of several valves, each row begins with the valve's name.
std::string valves_csv(const std::vector<valve::report::Json>& valves, const std::string& rows);

} // namespace program
