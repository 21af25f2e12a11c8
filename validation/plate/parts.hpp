#pragma once

#include <frame/recorder.hpp>

namespace valve::validation {

// The parts of plate_checks(): what no valve can pose, of elements that every stack is made of.

void circle_checks(Recorder& recorder);     ///< von Kármán, circular plates held at their rim
void added_mass_checks(Recorder& recorder); ///< discs and plates in fluid

/// A value as a table prints it, "0.0937".
double printed_value(const char* printed);

/// One of its last digit: 0.0001.
double last_digit(const char* printed);

} // namespace valve::validation
