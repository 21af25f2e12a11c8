#pragma once

#include <valve/damper/linkage.hpp>
#include <valve/damper/support.hpp>

#include <functional>

namespace valve::damper {

/// Mass that the wheel carries, with its share of the rider or without [kg].
double mass_on_wheel(const Load& load, bool with_rider);

/// What weight asks of all legs at their `travel` [m], along them [N]: by virtual work F dx = m g dw, so
/// F = m g/r with r = dx/dw there. The wheel rests free to roll, and friction is no part of it.
double force_of(const Load& load, bool with_rider, double travel);

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

/// What these leave of `energy` over the whole travel [J]; 0 where they take it all.
double energy_left(const SupportLaw& law, double energy, double friction);

/// Where units of `full` travel [m] rest under a `weight` [N] on the wheel: r F = weight. `force(x)` [N] is
/// what they push with together, with its slope over their travel; it rises. A table of a linkage whose ratio
/// falls may let r F fall for a while, and there may be rest positions beyond others: told is the first from
/// full extension, which a vehicle that is let down slowly meets. It is looked for in steps of 1/200 of the
/// wheel's travel; a rise above the weight and back within one step is passed over.
Position rest_under(const Linkage& linkage, double full, double weight,
                    const std::function<ValueSlope(double)>& force);

/// Where the vehicle comes to rest. Friction holds it anywhere between `least` and `most`.
struct Sag {
    double force = 0.0;        ///< the weight, along all legs as they rest [N]
    Position rest;             ///< without friction
    Position least;            ///< let down onto it: breakaway carries part of the weight
    Position most;             ///< let up from below
    double wheel_travel = 0.0; ///< at `rest` [m]
};

/// Throws InputError as Linkage does.
Sag sag(const SupportLaw& law, const Load& load, bool with_rider);

/// Undamped frequency of the sprung mass on the support alone (no tyre, the wheel held) with the rider, at
/// its sag [Hz]: √((r² F' + r' F)/m)/(2π), r the slope of the linkage, r' its curvature. None where it rests
/// at an end of the travel.
std::optional<double> ride_frequency(const SupportLaw& law, const Load& load);

} // namespace valve::damper
