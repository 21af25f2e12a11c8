#pragma once

#include <valve/study/advise.hpp>

#include <cstddef>
#include <optional>
#include <vector>

namespace valve::study {

/// A lever with what is known of it.
struct Candidate {
    Lever lever;
    std::optional<Suggestion> best = std::nullopt; ///< at the size that takes the goal furthest, if any does
    /// Change of each figure (lines of the goal, then what else is watched) by one step of the lever, for
    /// foretelling; empty where the lever moves nothing or cannot be solved [SI].
    std::vector<double> slopes = {};
    int probe = 0;         ///< steps that the slopes are from
    bool acts = false;     ///< one step moves the shortfall, or cannot be built or solved
    std::size_t tried = 0; ///< set-ups solved for it
};

/// Sizes changes against a goal and judges them. Refers to what it is made of.
class Candidates {
public:
    Candidates(const Advice& advice, const setup::Document& document, damper::LiftCache& lifts);

    /// Of the set-up as it is.
    std::vector<LineError> today_errors() const;

    /// Noticeable steps that are left over all lines; infinite where one is not solved [-].
    double shortfall(const std::vector<LineError>& errors) const;

    /// Each lever at its best size, in order. A stack whose first shim change moves nothing is left alone,
    /// and of an item only those changes are tried that go the way which helps: thicker where one more did,
    /// thinner and smaller where one fewer did.
    std::vector<Candidate> sized(const std::vector<Lever>& levers) const;

    /// Pairs that reach further or are worth more than either of their changes; counts what it solves.
    std::vector<Suggestion> pairs(const std::vector<Candidate>& singles, std::size_t& tried) const;

private:
    /// How a change does by the goal alone.
    struct Trial {
        std::vector<LineError> errors;
        double shortfall = 0.0;
    };
    class Sizing;
    class Foretelling;

    Trial trial(const setup::Document& document) const;
    void size(Candidate& candidate) const;
    std::optional<Suggestion> judged(const std::vector<std::pair<const Lever*, int>>& steps,
                                     std::vector<double>* values = nullptr) const;
    double reached(double shortfall) const;
    void size_all(std::vector<Candidate>& list, const std::vector<std::size_t>& which) const;
    std::vector<double> today_values() const;
    std::optional<Suggestion> refined(const Candidate& a, const Candidate& b, int of_a, int of_b,
                                      std::size_t& tried) const;

    const Advice& m_advice;
    const setup::Document& m_document;
    damper::LiftCache& m_lifts;
    std::vector<FigureRequest> m_watched; ///< beside the lines of the goal
    std::vector<Figure> m_watched_today;
    std::vector<FigureRequest> m_asked; ///< by the lines
};

} // namespace valve::study
