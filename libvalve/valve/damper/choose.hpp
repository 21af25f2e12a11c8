#pragma once

#include <valve/damper/sag.hpp>

#include <optional>
#include <vector>

namespace valve::damper {

/// What a support is to meet, with the load that the set-up states.
struct SupportGoal {
    std::optional<double> sag = std::nullopt;       ///< with the rider, along the legs [m]
    std::optional<double> free_sag = std::nullopt;  ///< without the rider [m]
    std::optional<double> end_force = std::nullopt; ///< at full travel, all legs, without friction [N]
};

struct Bounds {
    double low = 0.0;
    double high = 0.0;
};

/// What can be built.
struct Buildable {
    Bounds rate;    ///< of the spring, of its first rate where it has two [N/m]
    Bounds preload; ///< [m]
    Bounds oil;     ///< in the leg [m³]
};

/// The least oil of a leg: one without any is none [m³].
inline constexpr double least_oil = 1e-6;

/// Half to twice the spring's rate, 0 to 20 mm of preload (common practice, no source), and oil from 1 ml to
/// what leaves 1 ml of air at full travel. Throws InputError for a support without coil spring.
Buildable buildable(const SetUp& setup);

enum class Chosen { rate, preload, oil };

/// A support that meets a goal, or the nearest that can be built.
struct Choice {
    SetUp setup; ///< with the values chosen
    std::vector<Chosen> chosen;
    std::vector<Chosen> at_limit; ///< those of them that would have to be beyond what can be built
    SupportGoal reached;          ///< what it gives; each member there whether it was asked for or not
};

/// Chooses the rate for the sag, the preload for the free sag, and the oil for the force at the end; in a
/// shock, which has no oil to choose, the preload for that force. What the goal does not ask stays as it is
/// (without a sag the rate does), and so does the ratio of a dual-rate spring's rates. Where that cannot be
/// built the sag is kept before the force at the end, and this before the free sag. Throws InputError for a
/// support without coil spring or load, for sags that the travel does not have, and for a goal that asks more
/// than there is to choose, or nothing.
Choice choose(const SetUp& setup, const SupportGoal& goal, const Buildable& limits);

} // namespace valve::damper
