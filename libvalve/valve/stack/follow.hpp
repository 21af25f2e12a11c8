#pragma once

#include <valve/stack/lift_curve.hpp>

#include <span>
#include <vector>

namespace valve::stack {

struct FollowOptions {
    Theory theory = Theory::large_deflection;
    double max_pressure = 200e5; ///< end of the curve [Pa]
};

/// Follows the lift of `stack` from zero to the greatest pressure, locating every change of contact.
/// Throws std::invalid_argument where check(stack) has an error, SolveError (with the pressure) where no
/// state is found.
LiftCurve follow(const Stack& stack, const FollowOptions& options = {});

/// The states at chosen pressures [Pa], in the order asked. Throws as follow().
std::vector<LiftPoint> states_at(const Stack& stack, std::span<const double> pressures,
                                 const FollowOptions& options = {});

} // namespace valve::stack
