#pragma once

#include <frame/recorder.hpp>

namespace valve::validation {

void single_plate_checks(
    Recorder& recorder); ///< part of stack_checks(): one plate, floated or clamped, closed forms

} // namespace valve::validation
