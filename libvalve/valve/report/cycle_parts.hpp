#pragma once

#include <valve/report/json.hpp>
#include <valve/study/cycle.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::report {

// What is told of cycles by themselves and of those of a sweep.

std::string what_was_run(const study::CycleStudy& study);
std::string how_valves_move(const study::CycleStudy& study);

/// Dead travel [mm]; "*" behind it where it hangs on a dip, and room for that where another does.
std::string dead_cell(const std::optional<double>& for_good, const std::optional<double>& but_for_dips,
                      bool any_dips);

/// Whether dead travel of any of the cycles hangs on a dip.
bool dips(const study::CycleStudy& study);

std::string meaning_of_star();

/// Why there is no result, or what to mind in it.
std::vector<std::string> cautions(const study::CycleFigures& cycle);

/// Without its series.
Json json(const study::CycleFigures& cycle);

} // namespace valve::report
