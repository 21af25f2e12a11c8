#pragma once

#include <valve/damper/measured.hpp>
#include <valve/damper/port_control.hpp>
#include <valve/damper/steady.hpp>
#include <valve/report/field.hpp>

namespace valve::report {

Fields<damper::SteadyPoint> steady_fields();

/// Flat, so that they fit the row of a steady point; none where a valve is shut.
Fields<damper::ThroughValves> through_fields();

Fields<damper::VoidOnset> onset_fields();
Fields<damper::PortControl> port_fields();

/// A measured point beside the prediction.
Fields<damper::Deviation> deviation_fields();

} // namespace valve::report
