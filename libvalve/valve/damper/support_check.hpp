#pragma once

#include <valve/damper/spec.hpp>

namespace valve::damper {

/// Findings of the space where an oil level is measured; keys from the column on.
Findings check_column(const OilColumn& column, const Cartridge& cartridge);

/// Findings of what a wheel carries; keys from the load on ("rake").
Findings check(const Load& load);

/// Findings of a support by itself, part of check(); keys from the support on ("leg.oil").
Findings check(const Support& support);

/// Adds what does not fit between a sound support and a sound cartridge; keys from the top
/// ("support.leg.oil").
void check_fit(Findings& findings, const Support& support, const Cartridge& cartridge);

/// Errors and questions of what rest alone asks for: tube and rod, reservoir and support.
Findings check_static(const SetUp& setup);

/// Errors and questions of a set-up but for the support's force; check() is this with it.
Findings check_parts(const SetUp& setup);

/// Adds a question where the support, of a sound set-up, pushes with more at full travel than anything that
/// it carries asks for.
void question_force(Findings& findings, const SetUp& setup);

/// Adds a question where the linkage's table, of a sound set-up, ends far from the unit's travel, and where
/// its ratio goes up and down more often than levers make it.
void question_linkage(Findings& findings, const SetUp& setup);

} // namespace valve::damper
