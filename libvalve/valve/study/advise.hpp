#pragma once

#include <valve/damper/lift_cache.hpp>
#include <valve/setup/read.hpp>
#include <valve/study/evaluation.hpp>
#include <valve/study/goal.hpp>
#include <valve/study/lever.hpp>
#include <valve/study/side_effect.hpp>

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <vector>

namespace valve::study {

/// What advice is at.
enum class AdviseStage { singles, pairs, deciding };

struct AdviseOptions {
    EvaluateOptions at = {}; ///< the top speed is raised where the goal asks for more
    std::size_t most_changes = 10;
    std::size_t most_pairs = 5;
    /// Only levers whose key begins with one of these ("valves.base.refill."); empty: all.
    std::vector<std::string> only = {};
    /// Tell no more than the one change that meets the goal and is worth most, new or reworked parts after
    /// all others.
    bool is_for_one = false;
    /// Other set-ups to be held against the same goal, as if they were changes.
    std::vector<setup::Document> beside = {};
    /// Told the item that is done, of how many; called by several threads.
    std::function<void(AdviseStage stage, std::size_t item, std::size_t of)> progress = {};
    /// True: end with the best so far; called by several threads.
    std::function<bool()> stop = {};
};

/// One key changed, by steps of its lever.
struct Step {
    std::string key; ///< dotted
    Effort effort = Effort::clicks;
    int steps = 0;         ///< of the lever
    std::string from = {}; ///< as it could be written in a file
    std::string to = {};
    std::optional<setup::ShimVariant> shim = std::nullopt;
    std::vector<setup::Difference> with = {}; ///< other keys that it sets: a coil's preload with its rate
    bool is_at_limit = false; ///< of a lever with more than one step: it goes no further that way
};

/// One change, or two together, of the sizes that take the goal furthest, and what they do.
struct Suggestion {
    std::vector<Step> steps;
    Effort effort = Effort::clicks; ///< the greater of its steps'
    std::vector<LineError> lines;   ///< by line of the goal
    double reached = 0.0;           ///< of the whole goal, 1 all of it, below 0 further off [-]
    double side_effect = 0.0;       ///< on figures that the goal does not name, in noticeable steps [-]
    double worth = 0.0;             ///< reached a noticeable step of side effect, the first of them free [-]
    std::vector<Move> moves = {};   ///< of the figures that the goal does not name, the most noticed first
    std::vector<Figure> unsolved = {}; ///< of these, solved today and no longer, with their errors
    std::optional<setup::Document> document = std::nullopt; ///< the changed set-up

    bool meets() const;
};

/// What to change for a goal.
struct Advice {
    std::string file;
    setup::Reading reading;
    Goal goal;
    EvaluateOptions at;                             ///< at which figures were asked
    stack::Shape shape = stack::Shape::as_it_bends; ///< of the stacks behind them
    std::vector<Figure> today;                      ///< by line of the goal
    std::vector<Target> targets;                    ///< likewise
    std::vector<LineError> errors;   ///< of today; none solved counts as 0, with an infinite distance
    double shortfall = 0.0;          ///< of today, in noticeable steps over all lines [-]
    std::vector<Suggestion> changes; ///< single ones, the best first
    /// That reach further than either of their changes, or are worth more by a side effect less that a rider
    /// notices.
    std::vector<Suggestion> pairs;
    /// What comes nearest, single or pair, where nothing meets the goal; none where all leads away from it.
    std::optional<Suggestion> nearest = std::nullopt;
    /// AdviseOptions::beside, in order, without steps, effort or document; none where one cannot be solved.
    std::vector<std::optional<Suggestion>> beside;
    std::size_t levers = 0; ///< that were tried
    std::size_t tried = 0;  ///< set-ups whose figures were computed
    /// Of rides: sizes were sought with valves that follow the pressure at once, and what is told was ridden
    /// again with valves as asked.
    bool was_ridden_again = false;
    /// Sizes were sought with stacks taken for round, and what is told was solved again as they bend.
    bool was_solved_again = false;
    double largest_search_error = 0.0; ///< of the goal's figures so found, in noticeable steps [-]
    bool is_interrupted = false;       ///< levers are left that nobody tried

    bool met_today() const { return shortfall == 0.0; }
    bool can_be_met() const;
};

/// Parts of what a goal asks below which a change is not worth telling [-].
inline constexpr double least_reached = 0.05;

/// Changes whose worth differs by less than this are equal, and the least effort comes first [-].
inline constexpr double equal_worth = 0.1;

/// Looks for the single changes of `document` that take it nearest to `goal`, each of the size, in whole
/// steps of its lever, that leaves the least shortfall (the sum over the lines of noticeable steps to the
/// goal), and for pairs of them: sizes of a pair are foretold from what either does alone and then solved.
/// Sizes are sought with stacks taken for round, set right by what bending round the ring makes of the set-up
/// as it is; what is told is solved again in the shape of `lifts`, and its size goes on from there. Over
/// events sizes are sought with quasi-static valves, and what is told is ridden with moving ones where they
/// can (`at.ride_valves`). Levers are tried by as many threads as the machine has; the result does not
/// depend on their number. Throws InputError for a document that cannot be read, holds no damper or does not
/// say what a line or a ride needs, SolveError where the set-up as it is has no figures that a line speaks
/// of.
Advice advise(const setup::Document& document, const Goal& goal, const AdviseOptions& options,
              damper::LiftCache& lifts);

} // namespace valve::study
