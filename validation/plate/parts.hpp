#pragma once

#include <frame/recorder.hpp>

namespace valve::validation {

// The parts of plate_checks().

void roark_checks(Recorder& recorder);            ///< linear, closed forms and printed coefficients
void handbook_checks(Recorder& recorder);         ///< linear, a table of ten cases
void large_deflection_checks(Recorder& recorder); ///< von Kármán, annular and circular plates
void disc_spring_checks(Recorder& recorder);      ///< von Kármán, flat disc springs
void vibration_checks(Recorder& recorder);        ///< annular plates in air, discs in fluid

/// A value as a table prints it, "0.0937".
double printed_value(const char* printed);

/// One of its last digit: 0.0001.
double last_digit(const char* printed);

} // namespace valve::validation
