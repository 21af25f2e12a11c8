#pragma once

#include <frame/recorder.hpp>

namespace valve::validation {

/// Closed forms and a stiff test problem, by the integrator alone.
void integrator_checks(Recorder& recorder);

/// A monotube with one orifice and gas, beside another integrator.
void monotube_checks(Recorder& recorder);

/// A monotube of two discs with the oil in their ports, beside SciPy on the same equations.
void two_discs_checks(Recorder& recorder);

/// One wheel over an event, beside linear quarter cars.
void ride_checks(Recorder& recorder);

/// The same over random and wavy roads, by r.m.s. and transmissibility.
void road_checks(Recorder& recorder);

/// Units behind a linkage.
void linkage_checks(Recorder& recorder);

/// Dry friction, contact and free flight, in closed form.
void friction_checks(Recorder& recorder);

/// A reservoir's piston with mass: in closed form, and beside SciPy on the same equations.
void heavy_piston_checks(Recorder& recorder);

/// A plate that bounces on its seat, in closed form.
void bounce_checks(Recorder& recorder);

/// The demo fork in small motion, beside its linear equations.
void linear_checks(Recorder& recorder);

/// Masses on a unit, by the damper and the integrator alone.
void strut_checks(Recorder& recorder);

} // namespace valve::validation
