#pragma once

#include <valve/core/error.hpp>
#include <valve/plate/material.hpp>

namespace valve::plate {

/// Values that no strip has; keys as in a set-up file ("E").
Findings check(const Material& material);

} // namespace valve::plate
