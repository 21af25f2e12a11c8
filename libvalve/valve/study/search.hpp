#pragma once

#include <valve/study/search_question.hpp>

#include <cstddef>
#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace valve::study {

/// How far a search has come.
struct SearchProgress {
    enum class Stage { screening, solving };

    Stage stage = Stage::screening;
    std::size_t done = 0;
    std::size_t most = 0;       ///< that may be done
    std::optional<double> best; ///< goal error so far
};

/// How a search talks to whoever started it.
struct SearchHooks {
    std::function<void(const SearchProgress&)> progress = {}; ///< called by the thread that searches
    std::function<bool()> stop = {};                          ///< true: end with the best so far
};

/// A candidate by its coarse lift laws, its stacks taken for round.
struct Screened {
    SearchCandidate candidate;
    std::size_t setting = 0;  ///< the best for it
    double error = 0.0;       ///< of the goal's lines that can be screened
    int changed = 0;          ///< shims
    int swapped = 0;          ///< sleeves and coils
    std::uint64_t opened = 0; ///< valves, see SearchQuestion::opened()
    int springs = 0;          ///< main springs exchanged

    int parts() const { return changed + swapped + springs; }

    /// Smaller errors first, then fewer parts changed; of equals always the same one first.
    bool operator<(const Screened& other) const;
};

/// What one part of a search, or all of it, has screened.
struct SearchPart {
    std::size_t part = 1; ///< counted from 1
    std::size_t of = 1;   ///< parts
    std::uint64_t question = 0;
    double candidates = 0.0; ///< ways to build; of several valves, as if each had all that is at hand
    bool exhaustive = false; ///< every candidate is screened, by one of the parts
    std::size_t screened = 0;
    std::size_t sampled = 0; ///< drawn at random and screened, each of the family as likely as any other; one
                             ///< that is drawn again counts again
    bool is_interrupted = false;
    /// The best first: a few hundred, and the best few of every number of changed parts and of all that open
    /// the same valves.
    std::vector<Screened> best;
    bool has_more = false; ///< there were more that can be built than `best` lists
};

/// Screens the part `part` of `of` of `question`: candidates by coarse lift laws at few pressures. A family
/// of no more than options().most is looked at whole. From a larger one every start draws candidates at
/// random and then goes from the best it has seen to all its neighbours, until its share is used up. The
/// result depends on the question alone, not on threads, nor on how it is cut into parts.
SearchPart screen(const SearchQuestion& question, std::size_t part = 1, std::size_t of = 1,
                  const SearchHooks& hooks = {});

/// The parts as one. Throws InputError where they are not all the parts of one question.
SearchPart merged(std::vector<SearchPart> parts);

/// `whole`, which is no part, with the best of it once more: with all but some of the valves that each opens
/// left as they are today, screened likewise. A search goes shim by shim and may end before it has tried
/// that.
SearchPart with_fewer_opened(const SearchQuestion& question, SearchPart whole);

/// One way to build, solved in full from its file.
struct SearchAnswer {
    SearchCandidate candidate;
    SearchSetting setting;
    std::vector<std::optional<LineError>> lines; ///< of the goal
    double error = 0.0;       ///< root of the sum of squares of the lines, in steps that a rider notices
    double screened = 0.0;    ///< the same by the screen
    int changed = 0;          ///< shims
    int swapped = 0;          ///< sleeves and coils
    std::uint64_t opened = 0; ///< valves, see SearchQuestion::opened()
    int springs = 0;          ///< main springs exchanged

    int parts() const { return changed + swapped + springs; }
};

/// Goal errors that differ by less are equal to whoever has to build it [steps that a rider notices], or by
/// less than this part of what the set-up as it is misses: our choice.
inline constexpr double equal_error = 0.25;
inline constexpr double equal_part = 0.2;

/// Goal errors that differ by less read alike where they are told [steps that a rider notices].
inline constexpr double readable_gain = 0.005;

/// Whether it is the set-up as it is.
bool is_as_it_is(const SearchQuestion& question, const SearchAnswer& answer);

/// What a search came to.
struct SearchResult {
    SearchAnswer present;
    /// The best first: those that meet the goal, then those that are as near as the nearest but for what is
    /// equal, and so on; among equals those that open the fewest valves, then those that change the fewest
    /// parts. Each is another way to build: nothing that was solved is nearer with no more valves and parts,
    /// or as near with fewer parts in none but its valves (but for the least work of all that is as near as
    /// the nearest, which comes first, and for the nearest of all where it opens one valve and its gain can
    /// be read); and from those before it that open the same valves it differs by two parts at least, and by
    /// a quarter of those that it changes. The present is among them if it is the best.
    std::vector<SearchAnswer> answers;
    /// With more and more parts changed, each nearer to the goal than all with fewer.
    std::vector<SearchAnswer> by_changed;
    SearchPart screening;
    std::size_t solved = 0;    ///< in full
    double screen_error = 0.0; ///< largest difference seen between screened and solved goal error
    /// No candidate that was screened and not solved has a smaller goal error than this, if the screen errs
    /// on it by no more than `screen_doubt` times what was seen; none: all that can be built were solved.
    std::optional<double> bound;
    bool moved = false; ///< something that was solved gives a line of the goal another value than today's
    bool is_interrupted = false;

    bool reached() const { return !answers.empty() && answers.front().error == 0.0; }

    /// What comes nearest of all that was solved, whatever it takes; null where nothing was, as of a search
    /// that was interrupted.
    const SearchAnswer* nearest() const { return by_changed.empty() ? nullptr : &by_changed.back(); }
};

/// How much more than was seen the screen may err before a bound no longer holds: our choice.
inline constexpr double screen_doubt = 2.0;

/// Solves the best of `screening` in full, in its order, until no other can be among the answers but by a
/// screen that errs more than `screen_doubt` times as much as was seen. Throws SolveError where none could be
/// solved.
SearchResult solve(const SearchQuestion& question, SearchPart screening, const SearchHooks& hooks = {});

/// A whole search: screens the question as one part, then solves the best of it. Throws as solve().
SearchResult search(const SearchQuestion& question, const SearchHooks& hooks = {});

} // namespace valve::study
