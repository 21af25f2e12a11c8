#pragma once

#include <valve/study/search_question.hpp>

#include <cstddef>
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
    std::size_t setting = 0; ///< the best for it
    double error = 0.0;      ///< of the goal's lines that can be screened
    int changed = 0;         ///< shims
    int swapped = 0;         ///< sleeves and coils

    int parts() const { return changed + swapped; }

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
    std::size_t sampled = 0; ///< of these drawn at random, each of the family as likely as any other
    bool is_interrupted = false;
    /// The best first: a few hundred, and the best few of every number of changed parts.
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

/// One way to build, solved in full from its file.
struct SearchAnswer {
    SearchCandidate candidate;
    SearchSetting setting;
    std::vector<std::optional<LineError>> lines; ///< of the goal
    double error = 0.0;    ///< root of the sum of squares of the lines, in steps that a rider notices
    double screened = 0.0; ///< the same by the screen
    int changed = 0;       ///< shims
    int swapped = 0;       ///< sleeves and coils

    int parts() const { return changed + swapped; }

    bool operator<(const SearchAnswer& other) const;
};

/// What a search came to.
struct SearchResult {
    SearchAnswer present;
    /// The best first; each differs by two parts at least from all before it. The present may be among them.
    std::vector<SearchAnswer> answers;
    /// With more and more parts changed, each nearer to the goal than all with fewer.
    std::vector<SearchAnswer> by_changed;
    SearchPart screening;
    std::size_t solved = 0;    ///< in full
    double screen_error = 0.0; ///< largest difference seen between screened and solved goal error
    /// No candidate that was screened and not solved has a smaller goal error than this, if the screen errs
    /// on it by no more than twice what was seen; none: all that can be built were solved.
    std::optional<double> bound;
    bool is_interrupted = false;

    bool reached() const { return !answers.empty() && answers.front().error == 0.0; }
};

/// Solves the best of `screening` in full, in its order, until no other can be among the answers but by a
/// screen that errs more than twice as much as was seen. Throws SolveError where none could be solved.
SearchResult solve(const SearchQuestion& question, SearchPart screening, const SearchHooks& hooks = {});

/// Both.
SearchResult search(const SearchQuestion& question, const SearchHooks& hooks = {});

} // namespace valve::study
