#pragma once

#include <valve/setup/read.hpp>
#include <valve/setup/shims.hpp>

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace valve::study {

/// What a change costs a workshop, the least first: common practice, no source.
enum class Effort {
    clicks,     ///< turned from outside
    oil_volume, ///< filled in or drawn off
    preload,    ///< of the main spring
    gas,        ///< pressure, or the preload of the spring behind a reservoir's piston
    spring,     ///< another main spring, or another behind a reservoir's piston
    oil_grade,  ///< the oil changed
    shims,      ///< a valve taken apart: shims, float, its coil
    parts       ///< parts bought or reworked: seals, ports, bleed holes, another reservoir
};

/// "clicks", "oil volume".
std::string_view name(Effort effort);

/// One thing that a workshop can change, in steps that it makes.
struct Lever {
    std::string key; ///< dotted, that tells the change
    Effort effort = Effort::clicks;
    int least = 0; ///< steps that there are, from the set-up as it is
    int most = 0;
    /// The set-up with `steps` of it, other values as `document` has them. Throws InputError for what the key
    /// does not allow.
    std::function<setup::Document(const setup::Document& document, int steps)> edited;
    std::vector<std::string> also = {}; ///< other keys that it sets
    /// Of one shim in a stack: the change, else none. Such a lever has one step.
    std::optional<setup::ShimVariant> shim = std::nullopt;
};

// How far a lever goes from the set-up as it is: what a bench changes in one go, common practice, no source.
inline constexpr double oil_step = 5e-6;            ///< [m³]
inline constexpr double oil_level_step = 5e-3;      ///< [m]
inline constexpr double oil_grade_step = 1.1;       ///< of viscosity [-]
inline constexpr int most_oil_steps = 10;           ///< either way
inline constexpr double least_of_spring = 0.7;      ///< of the rate that there is [-]
inline constexpr double most_of_spring = 1.4;       ///< likewise
inline constexpr double least_coil_rate = 100.0;    ///< of a float [N/m]
inline constexpr double least_coil_preload = 0.1;   ///< likewise [N]
inline constexpr double least_of_gas = 0.5;         ///< of the gauge pressure that there is [-]
inline constexpr double most_of_gas = 1.5;          ///< likewise
inline constexpr double least_most_gas = 2e5;       ///< up to where it always goes, gauge [Pa]
inline constexpr double coarse_gas = 4e5;           ///< from where it goes by larger steps, gauge [Pa]
inline constexpr double most_leg_pressure = 0.5e5;  ///< of air beside a leg's coil, above what there is [Pa]
inline constexpr double most_of_back_preload = 2.5; ///< of the spring behind a reservoir's piston [-]
inline constexpr int most_grades = 7;               ///< either way
inline constexpr double most_of_ports = 1.5;        ///< of what there is; nobody closes them up [-]

/// All that can be changed on the damper of `reading`, which knows what was written, in the order of effort:
/// adjusters by a click or a quarter turn, oil by 5 ml or 5 mm of its level, preload by 1 mm, gas by 0.5 bar
/// (below 4 bar, 0.1 bar), a leg's air by 0.05 bar (without a coil from 4 bar on, 0.1 bar), springs by 0.1
/// N/mm (from 20 N/mm on, 2 N/mm), oil grades by 10 % of viscosity, float by 0.05 mm, coils by a quarter of
/// what they are and seals by a fifth, both told to two digits, ports and bleed holes by 5 % (common
/// practice, no source); shims one at a time. None goes further than the limits above and what the part has.
/// What moves together moves together: the second rate of a main spring with the first, the preload of a coil
/// with its rate, breakaway with friction.
std::vector<Lever> levers(const setup::Reading& reading);

} // namespace valve::study
