#pragma once

#include <frame/recorder.hpp>

namespace valve::validation {

/// Part of solid_checks(): half a pitch of ports, lifts under windows and buckling into waves.
void sector_checks(Recorder& recorder);

} // namespace valve::validation
