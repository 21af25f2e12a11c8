#pragma once

#include <frame/recorder.hpp>

namespace valve::validation {

// Parts of stack_checks(). One shim as a plate:
void roark_checks(Recorder& recorder);            ///< small deflection, closed forms and printed coefficients
void handbook_checks(Recorder& recorder);         ///< small deflection, a table of cases
void large_deflection_checks(Recorder& recorder); ///< von Kármán, boundary value problems
void disc_spring_checks(Recorder& recorder);      ///< von Kármán, flat disc springs
void mode_checks(Recorder& recorder);             ///< natural frequencies
void window_checks(Recorder& recorder);           ///< under waves round the ring, closed forms
void uneven_checks(Recorder& recorder);           ///< beyond buckling and over windows, solids
void wave_checks(Recorder& recorder);             ///< beyond buckling, a stress function
// One shim in a float, and several:
void floated_checks(Recorder& recorder); ///< on spring, seat and stop; yield; closed forms
void contact_checks(Recorder& recorder); ///< two and three shims of one clamp

} // namespace valve::validation
