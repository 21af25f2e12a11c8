#pragma once

#include <frame/recorder.hpp>

namespace valve::validation {

// Parts of stack_checks().
void single_plate_checks(Recorder& recorder); ///< one plate, floated or clamped, closed forms
void window_checks(Recorder& recorder);       ///< one plate under waves round the ring, closed forms

} // namespace valve::validation
