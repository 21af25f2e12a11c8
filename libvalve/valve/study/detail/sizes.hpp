#pragma once

#include <valve/study/detail/candidates.hpp>

#include <cstddef>
#include <map>
#include <memory>
#include <utility>
#include <vector>

namespace valve::study {

/// The levers behind a suggestion and what sizes of them leave of the goal, each solved once: by the figures
/// of the search, or by those that are told.
class Candidates::Sizes {
public:
    Sizes(const Candidates& of, const Suggestion& found, const std::vector<Candidate>& singles, bool told);

    /// Whether the lever of each step is among the candidates.
    bool are_known() const;

    /// The steps of each lever in the suggestion.
    const std::vector<int>& start() const { return m_start; }
    const Lever& lever(std::size_t i) const { return *m_levers[i]; }

    /// What `steps` leave of the goal; infinite where that cannot be built or solved.
    double left(const std::vector<int>& steps);

    /// The suggestion with sizes that left() was asked for.
    std::optional<Suggestion> judged(const std::vector<int>& steps);
    const std::shared_ptr<Changed>& changed(const std::vector<int>& steps) const;

    std::size_t tried() const { return m_known.size(); }

private:
    const Candidates& m_of;
    bool m_told;
    std::vector<const Lever*> m_levers; // null: not known
    std::vector<int> m_start;
    std::map<std::vector<int>, Trial> m_known;
};

} // namespace valve::study
