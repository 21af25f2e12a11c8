#pragma once

#include <valve/damper/model.hpp>

namespace valve::validation {

/// Piston of 36 mm on a rod of 12 mm with a hole of 4 mm, no stacks; 100 mm of oil on either side at mid
/// stroke, gas of 50 mm at 1 MPa behind it.
damper::Model monotube();

} // namespace valve::validation
