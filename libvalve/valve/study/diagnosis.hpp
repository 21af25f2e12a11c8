#pragma once

#include <valve/study/advise.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::study {

// Rules of the trade beside those of rider.hpp: common practice, no source.
inline constexpr double fast_speed = 3.0;     ///< of the rod, that a hard hit brings [m/s]
inline constexpr double hardest_speed = 4.0;  ///< of the rod, that the hardest hit brings [m/s]
inline constexpr double most_deficit = 0.3e5; ///< of refill at hanging_speed [Pa]
inline constexpr double rubbing_share = 0.01; ///< of the load carried, that a reservoir's seal may take [-]
inline constexpr double least_rubbing = 3.0;  ///< felt on the rod, below which nobody asks [N]
inline constexpr double usual_free_sag_least = 0.05; ///< of the travel, without the rider [-]
inline constexpr double usual_free_sag_most = 0.20;
inline constexpr double least_air_ratio =
    4.0; ///< pressure of a leg's air at full travel by that extended [-]
inline constexpr double most_air_ratio = 14.0;

/// What a damper is held to.
enum class Rule {
    refills_on_rebound, ///< no void on rebound within stony_speed
    refills_hanging,    ///< none near full extension within hanging_speed
    check_opens,        ///< deficit of refill at hanging_speed
    fills_inwards,      ///< no void on compression within fast_speed
    base_leads,         ///< balance margin not below 0 within fast_speed
    reservoir_is_free,  ///< friction of its seal, felt on the rod
    moves_freely,       ///< breakaway by the load carried
    ports_are_wide,     ///< a valve that damps is ruled by its shims within stony_speed
    shims_keep_shape,   ///< no shim keeps a set within the top speed
    shims_last,         ///< none is bent beyond endless life within stony_speed
    spring_fits,        ///< sag with the rider in the usual range
    rate_fits,          ///< sag without the rider in the usual range
    oil_fits,           ///< a leg's air pressed within the usual range at full travel
    ends_softly,    ///< reserve_share of the travel is left, or no metal is met and the stop at no more than
                    ///< soft_closing, on an event that is given
    extends_softly, ///< full extension is met at no more than soft_extension, on an event that is given
};

/// A rule that a change breaks, and its figure then.
struct BrokenRule {
    Rule rule = Rule::refills_on_rebound;
    Figure figure;
};

/// One rule held against a figure.
struct Judgement {
    Rule rule = Rule::refills_on_rebound;
    Target target; ///< a goal's line that says the rule
    Figure figure; ///< today's
    LineError error;
    /// The single change that mends it and disturbs the rest least, new or reworked parts last; of sound
    /// rules, and where none does, none. Of Rule::ends_softly its lines are the speed as the stop is met and
    /// that as metal is met, of which no change makes the latter worse.
    std::optional<Suggestion> mend = std::nullopt;
    std::optional<Suggestion> nearest = std::nullopt; ///< where none mends it
    std::vector<BrokenRule> breaks = {};              ///< that hold today and not with `mend`, or `nearest`
    std::vector<BrokenRule> worsens = {};             ///< other faults that it makes worse by a step or more
};

/// What holds a damper back.
struct Diagnosis {
    std::string file;
    setup::Reading reading;
    EvaluateOptions at;
    stack::Shape shape = stack::Shape::as_it_bends; ///< of the stacks behind its figures
    std::vector<Judgement> faults;                  ///< the furthest off in steps that a rider notices first
    std::vector<Judgement> sound;                   ///< in the order of the rules
    std::vector<Judgement> unsolved;                ///< rules whose figure could not be solved
};

/// Holds a damper against the rules that apply to it: those of base valves where it has them, of shims where
/// the strips state limits, of friction and sag where the file says what the wheel carries. For each broken
/// rule the change that mends it is looked for by advise(), among what the rule suspects. On each of `events`
/// it is held to neither bottoming nor topping out. A rule that names a speed is judged up to there, whatever
/// the top speed of `at`. Throws as advise().
Diagnosis diagnose(const setup::Document& document, const EvaluateOptions& at, damper::LiftCache& lifts,
                   const std::vector<RideEvent>& events = {});

} // namespace valve::study
