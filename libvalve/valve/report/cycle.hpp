#pragma once

#include <valve/report/json.hpp>
#include <valve/study/cycle.hpp>
#include <valve/study/sweep.hpp>

#include <string>

namespace valve::report {

/// Cycles as `valve cycle` shows them: dead travel, check and voids first, then forces and energies; below,
/// what the numbers mean and how far they can be trusted.
std::string text(const study::CycleStudy& study);

/// `cycles[]` and what they have in common.
Json json(const study::CycleStudy& study);

/// What a page draws of them: dead travel, and loops, pressures, voids and lifts at every other moment, as
/// short as they can be drawn.
Json cycles_to_draw(const study::CycleStudy& study);

/// The series of all cycles, one row a moment.
std::string series_csv(const study::CycleStudy& study);

/// Dead travel and the largest void, one row a setting, and which setting loses the least.
std::string text(const study::CycleFamily& family);

/// `settings[]` of `setting` and `cycles[]`, without series.
Json json(const study::CycleFamily& family);

/// One row a setting and cycle.
Json rows(const study::CycleFamily& family);

} // namespace valve::report
