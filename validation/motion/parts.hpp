#pragma once

#include <frame/recorder.hpp>

namespace valve::validation {

/// Closed forms and a stiff test problem, by the integrator alone.
void integrator_checks(Recorder& recorder);

/// A monotube with one orifice and gas, beside another integrator.
void monotube_checks(Recorder& recorder);

/// One wheel over an event, beside linear quarter cars.
void ride_checks(Recorder& recorder);

} // namespace valve::validation
