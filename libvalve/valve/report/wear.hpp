#pragma once

#include <valve/report/family.hpp>
#include <valve/study/wear.hpp>

#include <string>

namespace valve::report {

/// Curves of a worn damper as a family, its settings named: "as is", "gap x 2".
study::CurveFamily family_of(study::WearStudy wear);

/// What is made of which values of the file. How far parts wear is an assumption, and this says so.
std::string assumption_of(const study::WearStudy& wear);

/// The family's, each member with "ring_gap_m" and "reservoir_friction_N", null where it has none.
Json json(const study::WearStudy& wear);
Json points(const study::WearStudy& wear);
std::string text(const study::WearStudy& wear);

} // namespace valve::report
