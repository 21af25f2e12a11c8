#pragma once

#include <valve/report/json.hpp>
#include <valve/study/cycle.hpp>

#include <string>

namespace valve::report {

/// Cycles as `valve cycle` shows them: dead travel, check and voids first, then forces and energies; below,
/// what the numbers mean and how far they can be trusted.
std::string text(const study::CycleStudy& study);

/// `cycles[]` and what they have in common.
Json json(const study::CycleStudy& study);

/// The series of all cycles, one row a moment.
std::string series_csv(const study::CycleStudy& study);

} // namespace valve::report
