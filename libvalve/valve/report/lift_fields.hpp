#pragma once

#include <valve/report/field.hpp>
#include <valve/stack/wave_branches.hpp>
#include <valve/study/lift.hpp>
#include <valve/study/modes.hpp>

namespace valve::report {

/// A row of a lift and the stack that it is of.
struct LiftRowOf {
    const study::LiftRow* row;
    const stack::Stack* stack;
};

/// Those of `of_windows` are told where the ports are windows.
Fields<LiftRowOf> lift_fields();
bool of_windows(const FieldWords& field);

Fields<stack::WaveBranch> wave_branch_fields();

/// A mode and what it is near to; null: nothing.
struct ModeRow {
    const stack::Mode* mode;
    const study::Excitation* near;
};
Fields<ModeRow> mode_fields();

/// "piston side", "far side".
std::string_view words(stack::Face face);

/// "rod and wheel".
std::string_view name(study::Shaker shaker);

} // namespace valve::report
