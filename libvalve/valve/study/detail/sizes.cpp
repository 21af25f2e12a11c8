#include <valve/core/detail/infinity.hpp>
#include <valve/core/error.hpp>
#include <valve/study/detail/sizes.hpp>

#include <algorithm>

namespace valve::study {

namespace {

/// The lever that made a step; null where it is none of them.
const Lever* lever_of(const Step& step, const std::vector<Candidate>& singles) {
    const auto found = std::find_if(singles.begin(), singles.end(), [&](const Candidate& single) {
        const auto& shim = single.lever.shim;
        if (single.lever.key != step.key || shim.has_value() != step.shim.has_value()) return false;
        return !shim || (shim->shims == step.shim->shims && shim->change == step.shim->change);
    });
    return found == singles.end() ? nullptr : &found->lever;
}

} // namespace

Candidates::Sizes::Sizes(const Candidates& of, const Suggestion& found, const std::vector<Candidate>& singles,
                         bool told)
    : m_of(of), m_told(told) {
    for (const Step& step : found.steps) {
        m_levers.push_back(lever_of(step, singles));
        m_start.push_back(step.steps);
    }
}

bool Candidates::Sizes::are_known() const {
    return std::count(m_levers.begin(), m_levers.end(), nullptr) == 0;
}

double Candidates::Sizes::left(const std::vector<int>& steps) {
    const auto [found, is_new] = m_known.try_emplace(steps, Trial{infinity, nullptr});
    if (!is_new) return found->second.shortfall;
    try {
        setup::Document document = m_of.m_document;
        for (std::size_t i = 0; i < steps.size(); ++i) {
            if (steps[i] == 0 || steps[i] < m_levers[i]->least || steps[i] > m_levers[i]->most)
                return infinity;
            document = m_levers[i]->edited(document, steps[i]);
        }
        found->second = m_of.trial(document, m_told);
    } catch (const Error&) { // it cannot be built so
    }
    return found->second.shortfall;
}

std::optional<Suggestion> Candidates::Sizes::judged(const std::vector<int>& steps) {
    Steps list;
    for (std::size_t i = 0; i < steps.size(); ++i)
        list.emplace_back(m_levers[i], steps[i]);
    return m_of.judged(list, nullptr, changed(steps), m_told);
}

const std::shared_ptr<Candidates::Changed>& Candidates::Sizes::changed(const std::vector<int>& steps) const {
    return m_known.at(steps).changed;
}

} // namespace valve::study
