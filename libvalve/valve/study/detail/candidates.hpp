#pragma once

#include <valve/study/advise.hpp>
#include <valve/study/detail/as_is.hpp>

#include <cstddef>
#include <memory>
#include <optional>
#include <utility>
#include <vector>

namespace valve::study {

/// Whether a suggestion reaches further, or is worth more, than another of such reach and worth.
inline bool is_better(const Suggestion& one, double reached, double worth) {
    return one.reached > reached + least_reached || one.worth > worth * (1.0 + equal_worth);
}

/// Whether two changes together are worth the work of both where one of them does as `alone`: they reach
/// further, meet what it does not, or are worth more by a side effect less that a rider notices.
bool beats(const Suggestion& pair, const Suggestion& alone);

/// A lever with what is known of it.
struct Candidate {
    Lever lever;
    /// At the size that takes the goal furthest, if any does; where one change alone is looked for, a shim
    /// that does not by the search may still do so as it bends.
    std::optional<Suggestion> best = std::nullopt;
    /// Change of each figure (lines of the goal, then what else is watched) by one step of the lever, for
    /// foretelling; empty where the lever moves nothing or cannot be solved [SI].
    std::vector<double> slopes = {};
    int probe = 0;     ///< steps that the slopes are from
    bool acts = false; ///< one step moves the shortfall, or cannot be built or solved
    /// What its first step does to the lines that are missed, each line no further than it asks: by how much
    /// it takes them nearer, and by how much further off, as parts of the shortfall; nothing where it cannot
    /// be built or solved [-].
    double nearer = 0.0;
    double further = 0.0;
    std::size_t tried = 0; ///< set-ups solved for it
};

/// Sizes changes against a goal and judges them. The search takes stacks for round, and valves of rides
/// follow the pressure at once; its figures are set right by what the shape asked for, and moving valves,
/// make of the set-up as it is. What is told is decided by figures as the advice is asked. Refers to what it
/// is made of.
class Candidates {
public:
    Candidates(const Advice& advice, const setup::Document& document, const AdviseOptions& options,
               damper::LiftCache& lifts, AsIs& known);

    /// Of the set-up as it is.
    std::vector<LineError> today_errors() const;

    /// Noticeable steps that are left over all lines; infinite where one is not solved [-].
    double shortfall(const std::vector<LineError>& errors) const;

    /// Another set-up as a suggestion without steps; none where it cannot be solved. Throws as setup::read()
    /// and Evaluation.
    std::optional<Suggestion> beside(const setup::Document& other) const;

    /// Each lever at its best size, in order. A stack whose first shim change moves nothing is left alone,
    /// and of an item thicker, thinner and smaller ones are tried only where they may take a missed line
    /// nearer: that of one more is taken to do less of what one more does, that of one fewer less of what one
    /// fewer does, or of the opposite of the other where that is not known.
    std::vector<Candidate> sized(const std::vector<Lever>& levers) const;

    /// Pairs that reach further or are worth more than either of their changes; counts what it solves.
    std::vector<Suggestion> pairs(const std::vector<Candidate>& singles, std::size_t& tried) const;

    /// Takes the sizes of the first few of `pairs` on, by single steps of either lever or of both, until none
    /// of those around reaches further, and none that reaches as far is worth more; counts what it solves. By
    /// the figures of the search.
    void polish(std::vector<Suggestion>& pairs, std::size_t first, const std::vector<Candidate>& singles,
                std::size_t& tried) const;

    /// Of `pairs`, in order, those that beat each of their changes made alone as far as in the pair; counts
    /// what it solves. By the figures that are told, of a goal over events by those of the search. One whose
    /// steps are none of `singles` stays.
    std::vector<Suggestion> that_need_both(const std::vector<Suggestion>& pairs,
                                           const std::vector<Candidate>& singles, std::size_t& tried) const;

    /// Whether the search rides, or takes stacks, otherwise than what is told.
    bool rides_twice() const { return m_rides_twice; }
    bool bends_twice() const { return m_bends_twice; }

    /// `list` with the figures that are told, in its order: each solved again, and sizes that do better a
    /// step further, or as well a step less, taken so. Those that cannot be solved go, and those that reach
    /// less than `least` of the goal. Where one is asked for, ends with the first few that hold it. Counts
    /// what it solves and notes how far the search was off.
    std::vector<Suggestion> decided(const std::vector<Suggestion>& list,
                                    const std::vector<Candidate>& singles, Advice& advice,
                                    double least = least_reached) const;

    /// Gives a suggestion that falls short, where one is asked for, what else it moves; false where that
    /// cannot be solved.
    bool complete(Suggestion& made) const;

    /// What the search cannot tell of, having stacks for round: levers of shims in stacks that bend, one more
    /// or one fewer, where that takes a line of the goal by more than a noticeable step from what is told of
    /// the set-up as it is. They are to be decided, however little the search makes of them.
    std::vector<Suggestion> doubted(const std::vector<Candidate>& singles) const;

    bool is_stopped() const { return m_options.stop && m_options.stop(); }

private:
    /// A changed set-up, with what was asked of it.
    struct Changed {
        Changed(const setup::Document& document, const EvaluateOptions& at, damper::LiftCache& lifts);
        setup::Reading reading;
        Evaluation evaluation;
    };

    /// How a change does by the goal alone.
    struct Trial {
        double shortfall = 0.0; ///< or as much of it as shows that it is worse than the set-up as it is
        std::shared_ptr<Changed> changed = nullptr;
        std::vector<std::optional<LineError>> lines =
            {}; ///< of the goal; none where not solved, or not asked
    };
    using Steps = std::vector<std::pair<const Lever*, int>>;
    class Sizing;
    class Foretelling;
    class Sizes;
    class Settling;
    class Polishing;

    /// The figures of the search; `told`: those that are told.
    Trial trial(const setup::Document& document, bool told = false) const;
    void size(Candidate& candidate) const;
    bool may_help_bent(const Lever& lever) const;
    bool is_doubted(const Lever& lever) const;
    void doubt_search(Evaluation& as_is, Evaluation& search, AsIs& known);
    void note_way(Candidate& candidate, const std::vector<std::optional<LineError>>& lines) const;
    std::optional<Suggestion> judged(const Steps& steps, std::vector<double>* values = nullptr,
                                     const std::shared_ptr<Changed>& changed = nullptr,
                                     bool told = false) const;
    bool fill(Suggestion& made, Evaluation& of, bool is_search, std::vector<double>* values = nullptr,
              bool is_whole = false) const;
    Figure figure_of(Evaluation& of, const FigureRequest& request, double offset) const;
    std::vector<double> offsets(Evaluation& search, const std::vector<Figure>& told, AsIs& known) const;
    double reached(double shortfall) const;
    void size_all(std::vector<Candidate>& list, const std::vector<std::size_t>& which) const;
    std::vector<double> today_values() const;
    std::optional<Suggestion> refined(const Candidate& a, const Candidate& b, int of_a, int of_b,
                                      std::size_t& tried) const;

    const Advice& m_advice;
    const setup::Document& m_document;
    damper::LiftCache& m_lifts;
    mutable damper::LiftCache m_search_lifts; // asked by threads, as m_lifts is
    std::vector<FigureRequest> m_watched;     ///< beside the lines of the goal
    std::vector<Figure> m_watched_today;
    std::vector<FigureRequest> m_asked; ///< by the lines
    std::vector<std::size_t> m_order;   ///< of the lines, what is solved soonest first
    EvaluateOptions m_search_at;
    bool m_rides_twice = false;
    bool m_bends_twice = false;
    std::vector<std::string> m_doubted; ///< keys of shims that the search cannot tell of
    std::vector<double> m_asked_offset; ///< what is added to figures of the search [SI]
    std::vector<double> m_watched_offset;
    const AdviseOptions& m_options;
};

} // namespace valve::study
