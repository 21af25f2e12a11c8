#pragma once

#include <valve/setup/goal.hpp>
#include <valve/study/figure.hpp>

#include <optional>
#include <string>
#include <vector>

namespace valve::study {

/// A share of something, or an amount [SI].
struct Amount {
    double value = 0.0;
    bool is_share = false; ///< [-]
};

/// One line of a goal with its figure known. Forces that are negative on rebound by the sign convention alone
/// are asked for by their size: amounts and what follows from them speak of `direction` times the value.
struct GoalLine {
    FigureRequest figure;
    setup::Must must = setup::Must::keep;
    Amount amount;
    std::optional<Amount> within = std::nullopt; ///< none: a step that a rider notices
    double direction = 1.0;                      ///< -1 where the size of a negative figure is meant
    bool never_worse = false; ///< what leads away from it is no way to the goal, whatever other lines gain
    std::string key = {};     ///< "goal[2]"
    /// Of a change that a rider asks for: it is a step that he notices at least.
    bool is_noticed = false;
    std::optional<Amount> written = std::nullopt; ///< a smaller one, in place of which `amount` stands
};

/// A goal whose lines are figures.
struct Goal {
    std::string path;
    std::string title;
    std::vector<GoalLine> lines;
    std::vector<std::string> unused_events = {}; ///< setup::Goal::unused_events

    std::vector<FigureRequest> requests() const; ///< of the lines, in order
    std::vector<RideEvent> events() const;       ///< that they are asked over, each once

    /// Speed up to which onsets have to be sought so that every line that does not speak of today's value can
    /// be judged, at least `usual` [m/s].
    double top_speed(double usual) const;
};

/// Resolves the names and values of `written`. Throws InputError at the place of a name that is no figure, of
/// a speed, part of the travel, frequency or event that the figure has not, of a value in a unit that does
/// not measure it, and of an event whose file cannot be read or ridden.
Goal resolve(const setup::Goal& written);

/// Where a line wants its figure, given today's.
struct Target {
    GoalLine line;
    double today =
        0.0;          ///< of the figure, times the line's direction; an onset not reached: the top speed [SI]
    double low = 0.0; ///< the line is met from here [SI], -infinity where it is open
    double high = 0.0;       ///< to here [SI], +infinity where it is open
    double step = 0.0;       ///< that a rider notices, from today's value [SI]
    bool today_known = true; ///< false: today's figure could not be solved, and then `today` is 0
};

/// How far a figure is from where a line wants it.
struct LineError {
    double value = 0.0;    ///< of the figure, times the line's direction [SI]
    double distance = 0.0; ///< to the nearest value that is good enough: above 0 too large, 0 met [SI]
    double steps = 0.0;    ///< the same in steps that a rider notices [-]
    /// Part of the way from today's value to the goal: 1 met, 0 as today, below 0 further off; none where
    /// today's value meets the line, or is not known [-].
    std::optional<double> reached = std::nullopt;
    std::optional<double> but_for_dips = std::nullopt; ///< Figure::but_for_dips [m]
    Reversals reversals = {};                          ///< Figure::reversals

    bool met() const { return distance == 0.0; }
};

/// The target of each line from `today`, figures of the set-up as it is by goal.requests(), whose onsets were
/// sought up to `top_speed` [m/s]. Throws SolveError where a line speaks of today's value and it was not
/// solved, InputError where a line changes an onset that is none today.
std::vector<Target> targets(const Goal& goal, const std::vector<Figure>& today, double top_speed);

/// Speed up to which onsets have to be sought so that every target can be judged, at least `top_speed`, up to
/// which they were [m/s]: a change may ask for one beyond.
double furthest_speed(const std::vector<Target>& targets, double top_speed);

/// How far `figure` is from `target`: infinitely many steps where the line is never to be worse than today,
/// and is, by more than can be read. None where it was not solved.
std::optional<LineError> error_of(const Target& target, const Figure& figure, double top_speed);

/// The same of each line, in order.
std::vector<std::optional<LineError>> errors_of(const std::vector<Target>& targets,
                                                const std::vector<Figure>& figures, double top_speed);

} // namespace valve::study
