#pragma once

#include <valve/motion/profile.hpp>
#include <valve/stack/motion.hpp>
#include <valve/stack/spec.hpp>

namespace valve::motion {

/// What `stack` is in motion: its metal and, at `oil_density` [kg/m³], the oil that moves along. A rigid disc
/// has its stated mass alone, and its stop. Throws std::invalid_argument where the motion is none that a
/// profile can have.
Profile profile_of(const stack::Stack& stack, const stack::Motion& motion, double oil_density);

} // namespace valve::motion
