#pragma once

#include <frame/recorder.hpp>

namespace valve::validation {

void float_checks(Recorder& recorder); ///< part of stack_checks(): plates that float, closed forms

} // namespace valve::validation
