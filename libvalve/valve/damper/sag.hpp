#pragma once

#include <valve/damper/support.hpp>

namespace valve::damper {

/// Travel of the fork or shock by that of the wheel [-]: 1/cos(rake), or the motion ratio.
double travel_ratio(const Load& load);

/// Mass that the wheel carries, with its share of the rider or without [kg].
double mass_on_wheel(const Load& load, bool with_rider);

/// What weight asks of all legs, along them [N]: by virtual work F dx = m g dz, so F = m g dz/dx. The wheel
/// rests free to roll, and friction is no part of it.
double force_of(const Load& load, bool with_rider);

enum class AtEnd { no, extended, compressed };

/// A travel that was asked for by a force or an energy; at an end of the travel where none has it.
struct Position {
    double travel = 0.0; ///< [m]
    AtEnd at_end = AtEnd::no;
};

/// Where the support gives `force` [N], friction apart.
Position position_under(const SupportLaw& law, double force);

/// Travel from full extension at which springs and gas have taken `energy` [J] together with `friction` [N].
/// Damping is no part of it: on the road less is used.
Position travel_used(const SupportLaw& law, double energy, double friction);

/// Where the vehicle comes to rest. Friction holds it anywhere between `least` and `most`.
struct Sag {
    double force = 0.0; ///< the weight, along all legs [N]
    Position rest;      ///< without friction
    Position least;     ///< let down onto it: breakaway carries part of the weight
    Position most;      ///< let up from below
};

Sag sag(const SupportLaw& law, double force);

/// Undamped frequency of the sprung mass on the support alone (no tyre, the wheel held) with the rider, at
/// its sag [Hz]: √(r² F'/m)/(2π), r the travel ratio. None where it rests at an end of the travel.
std::optional<double> ride_frequency(const SupportLaw& law, const Load& load);

} // namespace valve::damper
