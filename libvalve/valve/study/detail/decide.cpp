#include <valve/core/detail/parallel.hpp>
#include <valve/core/error.hpp>
#include <valve/study/detail/candidates.hpp>

#include <algorithm>
#include <cmath>
#include <utility>

namespace valve::study {

namespace {

/// The lever of a single change; null where it has one step only.
const Lever* lever_of(const Suggestion& one, const std::vector<Candidate>& singles) {
    if (one.steps.size() != 1 || one.steps.front().shim) return nullptr;
    const auto found = std::find_if(singles.begin(), singles.end(), [&](const Candidate& single) {
        return !single.lever.shim && single.lever.key == one.steps.front().key;
    });
    return found == singles.end() ? nullptr : &found->lever;
}

} // namespace

std::optional<Suggestion> Candidates::ridden(const Suggestion& found) const {
    Suggestion made = found;
    try {
        Changed changed(found.document.value(), m_advice.at, m_lifts);
        if (!fill(made, changed.evaluation, false)) return std::nullopt;
    } catch (const Error&) { // it cannot be built so
        return std::nullopt;
    }
    return made;
}

std::vector<Suggestion> Candidates::decided(const std::vector<Suggestion>& list,
                                            const std::vector<Candidate>& singles, Advice& advice) const {
    std::vector<std::optional<Suggestion>> made(list.size());
    std::vector<std::size_t> tried(list.size(), 0);
    std::vector<double> off(list.size(), 0.0);
    try_each_index(list.size(), [&](std::size_t i) {
        made[i] = ridden(list[i]);
        ++tried[i];
        if (!made[i]) return;
        for (std::size_t k = 0; k < m_asked.size(); ++k)
            if (m_asked[k].event)
                off[i] = std::max(off[i], std::abs(made[i]->lines[k].value - list[i].lines[k].value) /
                                              m_advice.targets[k].step);
        const Lever* lever = lever_of(list[i], singles);
        if (lever != nullptr && list[i].meets() && !made[i]->meets()) {
            const int steps = list[i].steps.front().steps;
            const int further = steps + (steps > 0 ? 1 : -1);
            if (further >= lever->least && further <= lever->most) {
                std::optional<Suggestion> more = judged({{lever, further}});
                if (more) more = ridden(*more);
                ++tried[i];
                if (more && more->reached > made[i]->reached) made[i] = std::move(more);
            }
        }
        if (m_options.progress) m_options.progress(AdviseStage::deciding, i, list.size());
    });
    std::vector<Suggestion> kept;
    for (std::size_t i = 0; i < made.size(); ++i) {
        advice.tried += tried[i];
        advice.largest_search_error = std::max(advice.largest_search_error, off[i]);
        if (made[i] && made[i]->reached >= least_reached) kept.push_back(*std::move(made[i]));
    }
    return kept;
}

} // namespace valve::study
