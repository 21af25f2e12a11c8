#pragma once

#include <valve/motion/profile.hpp>
#include <valve/stack/motion.hpp>
#include <valve/stack/spec.hpp>
#include <valve/stack/uneven_law.hpp>

#include <memory>

namespace valve::motion {

/// What `stack` is in motion: its metal and, at `oil_density` [kg/m³], the oil that moves along. A rigid disc
/// has its stated mass alone, and its stop. Throws std::invalid_argument where the motion is none that a
/// profile can have.
Profile profile_of(const stack::Stack& stack, const stack::Motion& motion, double oil_density);

/// What the stack of `law` is in motion as it bends round the ring, solved as far up as it is asked. Up to
/// where that law takes over it is the round motion; where no shape was found there that is not round, it
/// stays that. Over windows it is that law from the seat on. A stop is known only to what stays round below
/// it. Throws SolveError where the stack does not open, and as profile_of().
Profile bent_profile_of(const std::shared_ptr<const stack::UnevenLaw>& law, double oil_density);

} // namespace valve::motion
